"""``python -m weftline`` is the command line."""

from weftline.cli import main

if __name__ == "__main__":
    main()
