"""Makes the pictures of the demo pieces that README shows, into docs/cloth."""

from pathlib import Path

import weftline
from weftline.drawing.wool import View, wool_picture
from weftline.formats.png import to_png

HOME = Path(__file__).parent.parent
WIDTH_PX = 420


def main() -> None:
    """Draw every demo piece with its fringe."""
    folder = HOME / "docs" / "cloth"
    folder.mkdir(exist_ok=True)
    for file in sorted((HOME / "examples").glob("*.json")):
        piece = weftline.loads(file.read_bytes())
        view = View(width_px=WIDTH_PX, fringe=True)
        drawn = wool_picture(weftline.expand(piece), weftline.settings_of(piece), view=view)
        (folder / f"{file.stem}.png").write_bytes(to_png(drawn.pixels, (drawn.dpi_x, drawn.dpi_y)))


if __name__ == "__main__":
    main()
