"""`python -m lessonmaker`."""

import sys

from lessonmaker.cli import main

sys.exit(main())
