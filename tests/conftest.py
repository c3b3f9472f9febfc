"""That this file is here puts the folder on the path, so that tests share their helpers."""
