"""Ways of writing things wrong: odd values, texts with a slip in them, bytes that are no text."""

from __future__ import annotations

import random
from typing import Any


class Raw(str):
    """A value written into TOML as it stands, without quotes."""

    __slots__ = ()


NUMBERS = (
    "0", "-1", "1", "3", "0.5", "1e400", "-1e400", "nan", "-nan", "inf", "-inf", "1_000", "0x10", "0b1", "9" * 30,
    "9" * 5000, "1e-320", "-0.0", "007", "+5", "1.", ".5", "1e3",
)  # fmt: skip
LITERALS = (
    "true", "false", "[]", "{}", "[[]]", "[[[[]]]]", '["", ""]', '["8 ft", "3 ft"]', "{ a = 1 }", "1979-05-27",
    "1979-05-27T07:32:00Z", "07:32:00", "nothing", "''", '""', '"""', "[1, 2", "= 3", '"\\u0000"', '"\\x"',
)  # fmt: skip
QUANTITIES = (
    "", " ", "0 ft", "0 in", "-3 ft", "3", "3 ft", "36 ft", "36'-4 1/2\"", "9 ft 13 in", "1/0 ft", "0/0 in", "1/3 in",
    "1e9 ft", "nan ft", "inf in", "NaN", "Infinity m", "11.1 m", "400 cm", "9144 mm", "36 ft 4 cm", "3 m 2 in",
    "9" * 39, "9" * 400, "9" * 38 + "m", "0.0000001 in", "1..2 ft", "1.2.3 ft", "- ft", "ft", "ft 3", "'", "''", "\"",
    "３６ ft", "٣٦ ft", "३ ft", "² ft", "½ in", "3½ in", "36 ft\u200b", "36\u00a0ft", "36\tft", "36\nft", "36 ﬀt",
    "36 FT", "36 yd", "36 furlongs", "45 mph", "26 m/s", "40 kt", "93 km/h", "5 lb/ft", "70 N/m", "5 lb/0 ft",
    "700 lb", "3.1 kN", "320 kg", "2.4 psf", "3 weeks", "2h", "45 deg", "1 rad", "2 %", "200 %", "-2 %", "5 lb/ft/ft",
    "2x4", "2x6", "2-2x8", "9-2x12", "0x0", "2x", "x6", "999999x999999", "2×6", "osb 7/16", "my layer 3 psf",
    "my layer 1e9 psf", "16d common", "0d common", "structural screw 0.22x5", "structural screw 0x0", "lag 3/8x3",
    "lag 0/0x3", "drywall screw #8x3", "spruce-pine-fir", "No.2", "Stud", "green", "dry", "tacked", "final", "C", "c",
    "\u0000", "\u202e36 ft", "\ud7ff", "🔨", "a" * 81, "a" * 100_000, "{0}", "%s", "$(id)", "../../x", "-h", "--help",
)  # fmt: skip
LETTERS = "\"'\\=[]{}#,.\n\r\t\x00\x07\x1b０٣½'″’−nan ftin0123456789eE+-_:;%/@"


def odd(rng: random.Random) -> object:
    """A value that some field will not like."""
    pick = rng.random()
    if pick < 0.25:
        return Raw(rng.choice(NUMBERS))
    if pick < 0.4:
        return Raw(rng.choice(LITERALS))
    return rng.choice(QUANTITIES)


def number_near(rng: random.Random, text: str) -> str:
    """The same quantity with another number in front of the same unit."""
    unit = text.lstrip("0123456789.-'/\" ")
    number = rng.choice(
        ("0", "1", "2", "7.5", "12", "16", "23.9", "24", "30", "48", "100", "119", "121", "0.01", "1e2", "-4")
    )
    return f"{number} {unit or 'ft'}"


def spoilt_text(rng: random.Random, text: str) -> str:
    """A text with slips of the kind an editor, a bad paste or a tired person makes."""
    for _ in range(rng.choice((1, 1, 2, 4))):
        lines = text.split("\n")
        at, k = rng.randrange(len(text) + 1), rng.randrange(len(lines))
        way = rng.randrange(10)
        if way == 0:
            lines.insert(k, lines[rng.randrange(len(lines))])
        elif way == 1:
            del lines[k]
        elif way == 2:
            other = rng.randrange(len(lines))
            lines[k], lines[other] = lines[other], lines[k]
        elif way == 3:
            lines[k] = lines[k] * rng.choice((2, 3, 50))
        elif way == 4:
            lines[k:k] = lines[k : k + rng.randint(1, 12)] * rng.choice((2, 20, 300))
        if way < 5:
            text = "\n".join(lines)
        elif way == 5:
            text = text[:at] + rng.choice(LETTERS) + text[at:]
        elif way == 6:
            text = text[:at] + text[at + rng.randint(1, 8) :]
        elif way == 7:
            text = text[:at]
        elif way == 8:
            text = text[:at] + str(rng.choice(QUANTITIES)) + text[at:]
        else:
            text = (
                text[:at]
                + rng.choice(("[" * 40, "{" * 40, "a.b.c.d.e.f = 1\n", "[x]\n", '"""', "#"))
                + text[at:]
            )
        text = text[:200_000]
    return text


def spoilt_bytes(rng: random.Random, content: bytes) -> bytes:
    """Bytes as a damaged disk or a wrong program leaves them; often no text at all."""
    way = rng.randrange(8)
    if way == 0:
        return rng.randbytes(rng.choice((0, 1, 2, 7, 64, 1000, 20_000)))
    if way == 1:
        return content.decode("utf-8", "replace").encode(
            rng.choice(("utf-16", "utf-16-le", "utf-32", "utf-7"))
        )
    if way == 2:
        return (
            rng.choice((b"\xef\xbb\xbf", b"\xff\xfe", b"\x00", b"\x1f\x8b\x08", b"PK\x03\x04", b"%PDF-1.7\n"))
            + content
        )
    if way == 3:
        return content.replace(b"\n", rng.choice((b"\r\n", b"\r", b"\n\n", b"\x0b", b"\xe2\x80\xa8")))
    if way == 4:
        return bytes(rng.choice(b"[]{}\"'=#.,\n ab1") for _ in range(rng.choice((3, 30, 3000))))
    flipped = bytearray(content)
    for _ in range(rng.choice((1, 3, 30))):
        if flipped:
            k = rng.randrange(len(flipped))
            flipped[k] ^= 1 << rng.randrange(8)
    return bytes(flipped)


def toml(tree: dict[str, Any]) -> str:
    """A tree of tables as TOML text; a Raw stands in it as it is."""
    return "\n".join(_table(tree, ""))


def _table(tree: dict[str, Any], path: str) -> list[str]:
    lines = [f"{_key(k)} = {_value(v)}" for k, v in tree.items() if not _is_table(v)]
    for key, value in tree.items():
        name = f"{path}.{_key(key)}" if path else _key(key)
        if isinstance(value, dict):
            lines += ["", f"[{name}]", *_table(value, name)]
        elif _is_table(value):
            for item in value:
                lines += ["", f"[[{name}]]", *_table(item, name)]
    return lines


def _is_table(value: object) -> bool:
    tables = isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)
    return isinstance(value, dict) or tables


def _key(key: str) -> str:
    bare = key.isascii() and key.replace("_", "").replace("-", "").isalnum()
    return key if bare else _value(key)


def _value(value: object) -> str:
    if isinstance(value, Raw):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, list):
        return "[" + ", ".join(_value(item) for item in value) + "]"
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    text = "".join(c if c.isprintable() and c not in '"\\' else f"\\u{ord(c):04x}" for c in str(value))
    return f'"{text}"'
