"""``python -m drillyard.cli``: the command line without its installed script."""

import sys

from drillyard.cli import main

if __name__ == "__main__":
    sys.exit(main())
