"""Hoops, their ridge joints and the sockets that they stand in."""
