"""Make the pictures of README from the demo's pages: small PNG files in `.pictures`.

Run from the checkout's root, with the folder of a demo, or without one to run it first:
python -m tests.demo.make_pictures [DIR]
"""

import subprocess
import sys
import tempfile
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageChops

from ledger.cli.demonstration import demonstrate

PICTURES = Path(__file__).resolve().parents[2] / ".pictures"
# Of each picture the page of the statement that it shows.
PAGES = {"statement.png": 1, "why.png": 3}
LARGEST = 150_000
DOTS_PER_INCH = 110
COLOURS = 64
MARGIN = 24


def picture(pdf: Path, page: int) -> bytes:
    """Return a page of a PDF as a small PNG, cut below what is printed in its upper part."""
    command = ["pdftoppm", "-png", "-r", str(DOTS_PER_INCH), "-singlefile"]
    command += ["-f", str(page), "-l", str(page), str(pdf)]
    png = subprocess.run(command, capture_output=True, check=True).stdout
    drawn = Image.open(BytesIO(png)).convert("RGB")
    width, height = drawn.size
    upper = drawn.crop((0, 0, width, height * 9 // 10))  # Without the foot of the page.
    paper = Image.new("RGB", upper.size, "white")
    box = ImageChops.difference(upper, paper).getbbox()
    assert box is not None
    cut = drawn.crop((0, 0, width, min(height, box[3] + MARGIN)))
    out = BytesIO()
    cut.quantize(COLOURS, dither=Image.Dither.NONE).save(out, "png", optimize=True)
    return out.getvalue()


def main(folder: Path) -> None:
    """Write the pictures of a demo's statement."""
    PICTURES.mkdir(exist_ok=True)
    for name, page in PAGES.items():
        content = picture(folder / "variations.pdf", page)
        assert len(content) < LARGEST, f"{name}: {len(content)} bytes"
        (PICTURES / name).write_bytes(content)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as made:
            list(demonstrate(Path(made)))
            main(Path(made))
