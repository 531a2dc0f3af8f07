"""Allow ``python -m walkround``."""

from walkround.cli import main

if __name__ == "__main__":
    main()
