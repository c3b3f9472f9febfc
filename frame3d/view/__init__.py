"""The frame on a screen: light meshes by arithmetic, a scene to send, and view.html.

No CAD kernel is loaded here. A shape is true in its outside dimensions and leaves out
what cannot be seen when everything is bolted up: holes and threads.
"""
