"""The page in a browser: a design as a form, its frame, its findings, its files.

The server keeps no design. A request for a view carries the whole design in its address, the
answer follows from that alone, and what is kept is only a cache of answers. Laying out and
checking run in processes of their own (:mod:`workers`, :mod:`worker`), so that the server answers
while they work and a design that takes too long is stopped without harm; exact solids and other
files are made in one more process when they are asked for (:mod:`jobs`), and come in the answer to
that request, so that any number of servers can stand side by side. No path that comes
from outside is ever opened: what the server sends from disk stands in a table (:mod:`assets`),
and lists of prices and stock that a design names are left alone here (:mod:`reading`).

Glossary
--------
task : what a worker can be asked for by name (:mod:`tasks`).
worker : one worker process and the questions put to it, one after the other.
wanted : a file that is asked for, made, sent and thrown away.
"""
