"""Draws the photos of Marram's record: `python -m tests.invented_photos` writes them anew.

Nobody took them: they are schematic scenes, each marked as invented. One has a place in its EXIF data, in the open sea,
so that it can be seen to go where photos are published.
"""

from __future__ import annotations

import io
import math
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from PIL import Image, ImageDraw, ImageFilter, ImageFont
from PIL.TiffImagePlugin import IFDRational

from proposal.publish.fonts import fonts

FOLDER = Path(__file__).parents[1] / "projects" / "marram" / "record" / "photos"
WIDTH, HEIGHT = 800, 600
FINE: Final = 2
"""Scenes are drawn so many times as large and then made smaller: that smooths their edges."""
MARK = "INVENTED FOR DEMONSTRATION · drawn by program"
PLACE_IN_THE_SEA: Final = ("S", (30.0, 12.0, 0.0), "W", (22.0, 48.0, 0.0))

Colour = tuple[int, int, int]
Point = tuple[float, float]
RED, BLACK, COPPER, STEEL = (178, 42, 36), (38, 38, 42), (186, 116, 62), (148, 154, 160)
WHITE, GREY, DARK, WOOD, BLUE = (240, 240, 236), (198, 200, 200), (70, 74, 80), (176, 136, 92), (52, 74, 104)
GREEN, YELLOW = (92, 150, 118), (232, 190, 60)


class Scene:
    """A picture in units of its final pixels."""

    def __init__(self, wall: Colour) -> None:
        self.image = Image.new("RGB", (WIDTH * FINE, HEIGHT * FINE), wall)
        self.draw = ImageDraw.Draw(self.image)
        self._faces = fonts()

    def box(self, x: float, y: float, wide: float, high: float, fill: Colour, *, round_px: float = 6.0) -> None:
        """A block with a lit upper edge and a shadow."""
        self._block(x + 4, y + 6, wide, high, shade(fill, 0.35), round_px)
        self._block(x, y, wide, high, fill, round_px)
        self.draw.line(scaled([(x + round_px, y + 2), (x + wide - round_px, y + 2)]), shade(fill, 1.25), 3 * FINE)

    def disc(self, x: float, y: float, radius: float, fill: Colour) -> None:
        """A round thing from above: a stud, a button."""
        for grown, share in ((1.0, 0.55), (0.9, 1.0), (0.45, 1.2)):
            size = radius * grown
            self.draw.ellipse(scaled([(x - size, y - size), (x + size, y + size)]), shade(fill, share))

    def stud(self, x: float, y: float, radius: float = 13.0) -> None:
        """A nut on its stud."""
        corners = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in (k * math.pi / 3 for k in range(6))]
        self.draw.polygon(scaled(corners), STEEL, shade(STEEL, 0.6))
        self.disc(x, y, radius * 0.45, shade(STEEL, 0.8))

    def cable(self, points: Sequence[Point], fill: Colour, thick: float) -> None:
        """A cable that runs smoothly through points."""
        run = scaled(smooth(points))
        for width, share in ((thick + 4, 0.4), (thick, 1.0), (thick * 0.3, 1.35)):
            self.draw.line(run, shade(fill, share), round(width * FINE), joint="curve")

    def lug(self, x: float, y: float, fill: Colour = COPPER) -> None:
        """A cable lug with its nut, boot below it."""
        self._block(x - 15, y - 15, 30, 40, fill, 10)
        self.stud(x, y, 11)

    def label(self, x: float, y: float, text: str, *, size: int = 20, fill: Colour = WHITE) -> None:
        """A printed label."""
        face = self.font(size)
        wide = self.draw.textlength(text, face) / FINE
        self._block(x, y, wide + 14, size + 10, fill, 3)
        self.draw.text((round((x + 7) * FINE), round((y + 2) * FINE)), text, BLACK, face)

    def boards(self, first_y: float, step: float, fill: Colour) -> None:
        """Planks across the picture."""
        y = first_y
        while y < HEIGHT:
            self._block(0, y, WIDTH, step - 4, fill, 0)
            y += step

    def font(self, size: int) -> ImageFont.FreeTypeFont:
        """The product's own body type."""
        return ImageFont.truetype(io.BytesIO(self._faces["text-semibold.ttf"]), size * FINE, layout_engine=0)

    def finished(self, title: str) -> Image.Image:
        """The picture, lit from above and marked."""
        light = Image.new("L", (1, HEIGHT))
        for y in range(HEIGHT):
            light.putpixel((0, y), round(255 - 80 * (y / HEIGHT) ** 1.6))
        small = self.image.resize((WIDTH, HEIGHT), Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(0.4))
        small = Image.composite(small, Image.new("RGB", small.size, (20, 18, 24)), light.resize(small.size))
        draw = ImageDraw.Draw(small)
        draw.rectangle((0, HEIGHT - 58, WIDTH, HEIGHT), (24, 24, 28))
        face = ImageFont.truetype(io.BytesIO(self._faces["text-semibold.ttf"]), 20, layout_engine=0)
        draw.text((14, HEIGHT - 54), title, (240, 240, 240), face)
        draw.text((14, HEIGHT - 28), MARK, YELLOW, face)
        return small

    def _block(self, x: float, y: float, wide: float, high: float, fill: Colour, round_px: float) -> None:
        box = scaled([(x, y), (x + wide, y + high)])
        self.draw.rounded_rectangle(box, round(round_px * FINE), fill)


def scaled(points: Sequence[Point]) -> list[Point]:
    """Points in the larger picture that is drawn on."""
    return [(round(x * FINE), round(y * FINE)) for x, y in points]


def shade(fill: Colour, share: float) -> Colour:
    """The same colour darker or lighter."""
    red, green, blue = (min(255, round(part * share)) for part in fill)
    return red, green, blue


def smooth(points: Sequence[Point], steps: int = 16) -> list[Point]:
    """A curve through points (Catmull and Rom)."""
    ends = [points[0], *points, points[-1]]
    run: list[Point] = []
    for a, b, c, d in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        for step in range(steps):
            t = step / steps
            x, y = (
                0.5 * (2 * q + (r - p) * t + (2 * p - 5 * q + 4 * r - s) * t * t + (3 * q - p - 3 * r + s) * t**3)
                for p, q, r, s in zip(a, b, c, d, strict=True)
            )
            run.append((x, y))
    return [*run, points[-1]]


def battery_box() -> Image.Image:
    """Four batteries in their box, strapped down."""
    scene = Scene((120, 112, 100))
    scene.box(30, 60, 740, 470, (150, 144, 132))
    for x, name, fill in ((60, "G3", BLUE), (240, "G4", BLUE), (420, "G1", DARK), (590, "G7", (86, 60, 60))):
        scene.box(x, 170, 150, 290, fill)
        scene.label(x + 50, 300, name, size=30)
        scene.disc(x + 35, 200, 16, RED)
        scene.disc(x + 115, 200, 16, BLACK)
    scene.box(40, 370, 720, 26, (60, 60, 60), round_px=2)
    scene.cable([(95, 200), (130, 120), (330, 100), (700, 90), (790, 70)], RED, 17)
    scene.cable([(275, 200), (300, 150), (330, 100)], RED, 13)
    scene.cable([(175, 200), (210, 150), (355, 140), (700, 130), (790, 115)], BLACK, 17)
    scene.cable([(455, 200), (480, 160), (640, 150), (790, 150)], RED, 17)
    scene.cable([(625, 200), (650, 190), (720, 185), (790, 190)], RED, 17)
    scene.label(60, 480, "strap: 2 × weight, moves 3 mm", size=20)
    return scene.finished("Battery box under the chart table · G1, G3, G4, G7")


def fuse_box() -> Image.Image:
    """The holders of the branch fuses, numbered."""
    scene = Scene((188, 176, 152))
    scene.box(60, 40, 680, 460, (226, 226, 220))
    numbers = [f"F{n}" for n in range(4, 15)] + ["spare"]
    for place, name in enumerate(numbers):
        x, y = 90 + (place % 6) * 108, 90 + (place // 6) * 190
        scene.box(x, y, 88, 110, (62, 66, 70))
        scene.box(x + 22, y + 16, 44, 60, WHITE if name != "spare" else GREY)
        scene.label(x + 18, y + 82, name, size=18)
        colour = RED if name != "spare" else DARK
        scene.cable([(x + 44, y + 112), (x + 44, y + 140), (x + 20, y + 165), (x + 10, y + 180)], colour, 6)
    scene.box(60, 466, 680, 20, (44, 44, 48), round_px=2)
    return scene.finished("Fuse box at the chart table, cover off · F4 to F14")


def bus_bar() -> Image.Image:
    """The main bus with its lugs."""
    scene = Scene(WOOD)
    scene.boards(0, 150, shade(WOOD, 1.06))
    for y, colour, name in ((150, RED, "X1 +"), (360, BLACK, "X1 −")):
        scene.box(60, y - 24, 680, 92, (46, 46, 50))
        scene.box(80, y, 640, 44, COPPER, round_px=2)
        for place in range(9):
            x = 120 + place * 70
            scene.cable([(x, y + 24), (x + 4, y + 90), (x - 8 + place, y + 150)], colour, 18 if place < 4 else 9)
            scene.lug(x, y + 18)
        scene.label(640, y - 20, name, size=22)
    scene.label(90, 62, "12 N·m, marked across each nut", size=20)
    return scene.finished("Main bus behind the companionway steps · X1")


def windlass_run() -> Image.Image:
    """The windlass cables behind the lining, which is off."""
    scene = Scene((96, 90, 84))
    scene.boards(0, 96, (132, 124, 112))
    for x in (70, 330, 590):
        scene.box(x, 0, 56, 540, shade(WOOD, 0.85), round_px=0)
    scene.cable([(-10, 240), (120, 232), (400, 240), (640, 226), (810, 236)], RED, 22)
    scene.cable([(-10, 276), (120, 268), (400, 276), (640, 262), (810, 272)], BLACK, 22)
    for x in (98, 358, 618):
        scene.box(x - 14, 212, 28, 84, WHITE, round_px=4)
    scene.draw.line(scaled([(98, 340), (358, 340)]), YELLOW, 3 * FINE)
    for x in (98, 358):
        scene.draw.line(scaled([(x, 328), (x, 352)]), YELLOW, 3 * FINE)
    scene.label(188, 352, "400 mm", size=22)
    scene.label(430, 180, "W46", size=22)
    scene.label(430, 300, "W47", size=22)
    scene.box(640, 400, 180, 170, shade(WOOD, 1.2), round_px=2)
    return scene.finished("Forepeak, port side, lining off · W46 and W47 to the windlass")


def contactor() -> Image.Image:
    """Contactor, shunt and fuse of the lithium bank."""
    scene = Scene(shade(WOOD, 1.1))
    scene.boards(0, 200, shade(WOOD, 1.15))
    scene.cable([(-10, 300), (80, 296), (190, 300)], RED, 20)
    scene.cable([(330, 300), (420, 300), (500, 300)], RED, 20)
    scene.cable([(640, 300), (720, 296), (810, 280)], RED, 20)
    scene.box(160, 230, 200, 140, (54, 54, 58), round_px=10)
    scene.box(205, 250, 110, 100, (226, 226, 220))
    scene.label(225, 282, "F2", size=30)
    scene.box(470, 190, 200, 220, (74, 78, 84), round_px=40)
    scene.label(535, 280, "Q3", size=30)
    for x in (185, 335, 500, 640):
        scene.lug(x, 300)
    scene.cable([(540, 400), (520, 470), (440, 500), (300, 520)], (60, 110, 170), 5)
    scene.cable([(600, 400), (590, 480), (450, 520), (300, 540)], BLACK, 5)
    scene.box(90, 60, 260, 70, COPPER, round_px=4)
    for x in (120, 320):
        scene.lug(x, 90)
    scene.label(180, 136, "B1 shunt", size=22)
    return scene.finished("Lithium bank: fuse F2, contactor Q3, shunt B1")


def starter_cable() -> Image.Image:
    """The starter motor with its two cables."""
    scene = Scene((84, 88, 92))
    scene.box(-40, 200, 420, 360, (98, 118, 110), round_px=20)
    for x in (20, 110, 200):
        scene.disc(x + 30, 270, 26, (120, 140, 132))
    scene.box(300, 300, 330, 130, (58, 60, 64), round_px=50)
    scene.box(350, 232, 190, 64, (72, 74, 78), round_px=26)
    scene.cable([(540, 262), (620, 220), (700, 120), (810, 90)], RED, 24)
    scene.cable([(300, 480), (460, 500), (640, 470), (810, 380)], BLACK, 24)
    scene.box(505, 236, 66, 50, shade(RED, 1.1), round_px=20)
    scene.lug(300, 470)
    scene.label(600, 150, "W54 · 1/0 AWG", size=22)
    scene.label(560, 492, "W55", size=22)
    scene.label(410, 345, "M1", size=26)
    return scene.finished("Engine space: starter M1 with its larger cable · W54, W55")


def emergency_off() -> Image.Image:
    """The emergency button beside the steps."""
    scene = Scene(shade(WOOD, 1.2))
    scene.boards(0, 110, shade(WOOD, 1.26))
    scene.box(0, 420, 800, 40, shade(WOOD, 0.7), round_px=0)
    scene.box(280, 110, 240, 270, YELLOW, round_px=10)
    scene.disc(400, 230, 84, (200, 30, 30))
    scene.disc(400, 230, 58, (222, 44, 40))
    scene.label(318, 330, "BATTERY OFF", size=26)
    scene.label(300, 66, "press · then the hand switches", size=20)
    return scene.finished("Companionway: emergency off, opens the contactor Q3")


def relay() -> Image.Image:
    """The voltage-sensitive relay between its two fuses."""
    scene = Scene((112, 118, 120))
    scene.boards(0, 180, (126, 132, 134))
    scene.cable([(-10, 330), (90, 326), (200, 330), (330, 330)], RED, 15)
    scene.cable([(470, 330), (600, 330), (700, 320), (810, 324)], RED, 15)
    for x, name in ((110, "F24"), (610, "F25")):
        scene.box(x, 270, 120, 110, (54, 54, 58))
        scene.label(x + 36, 300, name, size=22)
    scene.box(310, 200, 180, 210, (36, 52, 84), round_px=12)
    scene.disc(400, 250, 12, (80, 220, 120))
    scene.label(374, 280, "K2", size=26)
    for x in (340, 460):
        scene.lug(x, 350)
    scene.cable([(400, 408), (402, 470), (380, 560)], BLACK, 5)
    scene.label(300, 150, "joins 13.3 V · parts 12.8 V", size=20)
    return scene.finished("Engine space: relay K2 with F24 and F25, its settings on the lid")


def windlass_joint() -> Image.Image:
    """A joint at the windlass that corrodes."""
    scene = Scene((130, 134, 138))
    scene.box(260, 90, 420, 360, (168, 172, 176), round_px=30)
    scene.disc(470, 270, 90, (110, 114, 118))
    scene.cable([(-10, 420), (120, 400), (250, 330), (400, 272)], RED, 34)
    scene.box(380, 240, 150, 60, COPPER, round_px=26)
    for x, y, size in ((392, 246, 16), (420, 292, 13), (512, 252, 12), (372, 284, 18), (450, 238, 9)):
        scene.disc(x, y, size, GREEN)
    scene.stud(470, 270, 30)
    scene.label(540, 120, "1.26 V at 118 A", size=24)
    scene.label(60, 120, "E13 · positive lug", size=24)
    return scene.finished("Windlass E13: green lug, drop grown by half in a year")


PHOTOS: dict[str, Callable[[], Image.Image]] = {
    "battery-box.jpg": battery_box,
    "bus-bar.jpg": bus_bar,
    "contactor.jpg": contactor,
    "emergency-off.jpg": emergency_off,
    "fuse-box.jpg": fuse_box,
    "relay.jpg": relay,
    "starter-cable.jpg": starter_cable,
    "windlass-joint.jpg": windlass_joint,
    "windlass-run.jpg": windlass_run,
}
LOCATED = "windlass-run.jpg"
"""The one that tells where it was taken."""


def encoded(name: str) -> bytes:
    """The file of a photo."""
    image = PHOTOS[name]()
    exif = Image.Exif()
    exif[0x010E] = MARK.encode("ascii", "replace").decode().replace("?", "-")
    if name == LOCATED:
        south, latitude, west, longitude = PLACE_IN_THE_SEA
        place = exif.get_ifd(0x8825)
        place[0] = b"\x02\x03\x00\x00"
        place[1], place[2] = south, tuple(IFDRational(part) for part in latitude)
        place[3], place[4] = west, tuple(IFDRational(part) for part in longitude)
    file = io.BytesIO()
    image.save(file, "JPEG", quality=66, optimize=True, exif=exif)
    return file.getvalue()


def main() -> int:
    """Write all photos into Marram's record."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name in PHOTOS:
        (FOLDER / name).write_bytes(encoded(name))
    return 0


if __name__ == "__main__":
    sys.exit(main())
