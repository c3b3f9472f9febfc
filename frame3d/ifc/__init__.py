"""IFC 4: the frame for those who plan buildings, written from its bodies without the kernel.

Each distinct part is one shape, said as a sweep wherever a sweep says it exactly; members are
that shape placed by reference.
"""
