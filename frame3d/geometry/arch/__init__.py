"""The arch of a hoop, solved from any dimensions that fix it."""
