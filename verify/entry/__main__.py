"""``python -m gridassay``: the command line. Installed in the package ``gridassay`` itself."""

from gridassay.verify.cli import main

main()
