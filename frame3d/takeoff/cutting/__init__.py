"""Cutting plans: which bars to use, what to cut from each, with proof where there is one."""
