"""From the drawing to the ground: setting out, levels, and what stands there afterwards.

Three questions, each with a room that answers it from a frame and from what the user
measured: :mod:`.staking` gives every place to stake and how to square the corners,
:mod:`.driving` how high the string runs on real ground (:mod:`.ground`) and how deep each
socket goes, :mod:`.built` whether the hoops and rails will go on what was driven.
:mod:`.survey` puts them together; :mod:`.write` brings them into words, tables and files.

Glossary
--------
site axes : x across to the right and y along, seen from the first hoop toward the last, from
    the corner socket where staking begins; z up from the levels' own zero, or from the ground
    where there are no levels.
baseline : a line beside the tunnel from which places are measured: so far along it, and so
    far off it at a right angle.
string : the line along which the tops of a side lie.
driving mark : the mark on a socket that comes to the ground when it is driven far enough.
"""
