"""Run a notebook in a folder, as someone would who has no network.

Reads {"notebook": FILE, "folder": DIR} from standard input and prints a JSON
array, one object a code cell: its kinds of output, their text, the pictures as
the HTML that draws them, and the error that ended it, if one did.
"""

import json
import os
import sys
import tempfile

import nbformat
from nbclient import NotebookClient

# Runs before the first cell. Only what the interpreter connects itself is
# stopped here; what drawing libraries might ask for goes to a dead proxy.
NO_NETWORK = """
import sys

def _refuse(event, args):
    local = ("127.0.0.1", "localhost", "::1", None)
    if event == "socket.getaddrinfo" and args[0] not in local:
        raise OSError(f"looked up {args[0]}, want no network")
    if event == "socket.connect" and isinstance(args[1], tuple) and args[1][0] not in local:
        raise OSError(f"connected to {args[1]}, want no network")

sys.addaudithook(_refuse)
"""


def found(cell):
    report = {"kinds": [], "text": "", "pictures": [], "error": ""}
    for output in cell.outputs:
        if output.output_type == "error":
            report["error"] = f"{output.ename}: {output.evalue}\n" + "\n".join(output.traceback)
            continue
        if output.output_type == "stream":
            report["kinds"].append(output.name)
            report["text"] += output.text
            continue
        report["kinds"] += output.data
        report["text"] += output.data.get("text/plain", "")
        if "vegaEmbed" in output.data.get("text/html", ""):
            report["pictures"].append(output.data["text/html"])
    return report


def main(notebook, folder):
    book = nbformat.read(notebook, as_version=4)
    nbformat.validate(book)
    with tempfile.TemporaryDirectory() as own:
        # Nothing of the user's own settings, and none left behind.
        for variable in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR"):
            os.environ[variable] = own
        for variable in ("http_proxy", "https_proxy", "all_proxy"):
            os.environ[variable] = os.environ[variable.upper()] = "http://127.0.0.1:9"
        book.cells.insert(0, nbformat.v4.new_code_cell(NO_NETWORK))
        client = NotebookClient(book, timeout=120, allow_errors=True, kernel_name="python3", resources={"metadata": {"path": folder}})
        client.execute()
    json.dump([found(cell) for cell in book.cells[1:] if cell.cell_type == "code"], sys.stdout)


main(**json.load(sys.stdin))
