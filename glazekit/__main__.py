"""``python -m glazekit`` is the same as ``glazekit``."""

from glazekit.cli import main

raise SystemExit(main())
