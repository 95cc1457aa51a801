"""Turn a notebook into one of marimo and run that in a folder.

Reads {"notebook": FILE, "folder": DIR} from standard input and prints how many
pictures its cells end in, each made into what marimo's front end draws by
itself, with the mouse, and the other texts they end in.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path


def main(notebook, folder):
    with tempfile.TemporaryDirectory() as own:
        # Nothing of the user's own settings, and none left behind.
        os.environ["XDG_CONFIG_HOME"] = os.environ["XDG_CACHE_HOME"] = os.environ["XDG_STATE_HOME"] = own
        book = Path(own) / "book.py"
        made = subprocess.run([sys.executable, "-m", "marimo", "convert", notebook, "-o", book], capture_output=True, text=True)
        if made.returncode:
            sys.exit(made.stdout + made.stderr)
        os.chdir(folder)
        sys.path.insert(0, own)
        sys.stdout = sys.stderr  # what cells print
        import book as converted
        from marimo._output.formatters.formatters import register_formatters
        from marimo._output.formatting import try_format

        register_formatters()
        outputs, _ = converted.app.run()
        import altair

        pictures, texts = 0, []
        for output in outputs:
            if isinstance(output, altair.TopLevelMixin):
                shown = try_format(output)
                pictures += shown.exception is None and shown.mimetype.startswith("application/vnd.vegalite")
            elif isinstance(output, str):
                texts.append(output)
    json.dump({"pictures": pictures, "texts": texts}, sys.__stdout__)


main(**json.load(sys.stdin))
