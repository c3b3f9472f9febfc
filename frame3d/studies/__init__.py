"""Studies: many designs compared, from a plan of what varies to rows, the best of them, a page.

plan (TOML) -> variants -> rows, each worked out by arithmetic alone -> results. A row has figures
that come from the same functions as those of ``check``, ``takeoff`` and ``build``.
"""
