"""``python -m frame3d.cli`` is ``frame3d``."""

from frame3d.cli import main

if __name__ == "__main__":
    main()
