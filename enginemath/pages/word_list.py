"""The trade's words in plain ones, with a column for the student's own language."""

from __future__ import annotations

from html import escape

from enginemath.sheets.html_page import fill

NAME = "words"
"""Under which the list stands beside the lessons' sheets."""
WORDS = {
    "The engine": {
        "engine block": "the large casting that holds the cylinders and the crankshaft",
        "cylinder": "the round hole in which a piston moves up and down",
        "cylinder head": "the lid on the block; valves and spark plugs sit in it",
        "piston": "the round part that moves in the cylinder",
        "crown": "the top of the piston",
        "connecting rod": "the bar between piston and crankshaft; short: rod",
        "pin": "the short shaft that joins piston and rod; the piston can rock on it",
        "crankshaft": "the shaft that turns up-and-down into round; short: crank",
        "camshaft": "the shaft that opens the valves; short: cam",
        "valve": "a door for air and gas in the cylinder head",
        "spark plug": "it lights the fuel; its hole is the plug hole",
        "head gasket": "the thin sheet between block and head that seals",
        "deck": "the flat top of the block",
        "bank": "one row of cylinders of a vee engine",
    },
    "Sizes": {
        "bore": "the diameter of a cylinder; also the work of making it larger",
        "overbore": "how much larger the bore was made, told on the diameter",
        "stroke": "how far the piston moves from top to bottom",
        "top dead centre": "where the piston stands highest; TDC",
        "bottom dead centre": "where the piston stands lowest; BDC",
        "swept volume": "the room that one piston moves through",
        "displacement": "the swept volume of all cylinders together",
        "clearance volume": "all the room that is left above the piston at the top",
        "compression ratio": "all of the room over what is left of it at the top",
        "chamber": "the hollow in the head above the piston; short for combustion chamber",
        "dish": "a hollow in the crown: it gives room",
        "dome": "a hill on the crown: it takes room",
        "valve relief": "a pocket in the crown, so that a valve does not touch",
        "deck clearance": "how far the piston stops below the deck; plus is below, minus above",
        "compressed thickness": "how thick the gasket is between tight bolts",
        "free thickness": "how thick the gasket is in its box",
        "squish clearance": "the gap between piston and head at the top; also called quench",
        "ring-land crevice": "the narrow ring of room beside the piston, above its first ring",
        "compression height": "from the middle of the pin to the flat of the crown",
        "block height": "from the middle of the crankshaft to the deck",
    },
    "On the bench": {
        "reading": "a number that a tool showed, with its unit",
        "micrometer": "a tool that reads a thickness by a fine screw",
        "dial indicator": "a tool with a hand that shows small movements",
        "depth micrometer": "a micrometer for how deep something is",
        "vernier caliper": "a tool with jaws and two scales side by side",
        "feeler gauge": "thin leaves of known thickness, to try a gap",
        "straight edge": "a ruler that is true, to look for a bow",
        "burette": "a glass tube with lines and a tap; it says how much has run out",
        "meniscus": "the curved top of the water in the tube; read its bottom",
        "to pour, to cc": "to fill a room with water from the burette and so find its volume",
        "fill": "one run from the burette, from a start to an end",
        "clear plate": "the plate with a hole that lies on the chamber or the deck",
        "known depth": "how far down the piston stands while its crown is poured",
        "thou": "a thousandth of an inch: 0.0254 mm",
        "cc": "a cubic centimetre; the same as a millilitre",
        "scatter": "how far readings of one thing lie apart",
        "uncertainty, ±": "how far a careful reading may be off",
        "blunder": "a slip that no ± covers: a bubble, a wrong line, a forgotten plug",
        "error budget": "the list of what the ± comes from, the largest first",
    },
    "In the shop": {
        "deck cut": "metal taken off the top of the block",
        "head cut": "metal taken off the face of the head",
        "clean-up cut": "the least cut that makes a face flat and clean",
        "clearance": "room that must be left between two parts",
        "limit": "the largest or the smallest that is allowed",
        "maker's minimum": "the least height that the maker of the engine allows",
        "surface finish": "how smooth a cut face must be",
        "work order": "the paper that says what the machine shop shall do",
        "machinist": "who cuts metal to a size, and signs for it",
        "torque": "how hard a bolt is turned tight",
    },
    "Fuel and air": {
        "fuel": "what is burned: petrol (gasoline), diesel",
        "knock": "fuel that goes off by itself, with a hard sound; it breaks pistons",
        "antiknock index": "how much squeeze a petrol takes before it knocks: (R+M)/2 at the pump",
        "intake closing": "when the intake valve shuts, in degrees after bottom dead centre",
        "effective ratio": "the ratio counted from where the intake valve shuts",
        "cranking pressure": "what a tester shows while the starter turns the engine",
        "gauge pressure": "pressure above that of the air outside",
        "absolute pressure": "pressure counted from nothing at all",
    },
}
"""Each word with what it is, by where it belongs."""


def word_list() -> str:
    """The word list as a page to read and to print.

    Returns:
        An HTML page that needs nothing else; each word has an address: its letters, with hyphens.

    >>> 'id="deck-clearance"' in word_list()
    True
    """
    groups = [
        (title, [(address_of(word), word, told) for word, told in words.items()])
        for title, words in WORDS.items()
    ]
    return fill("pages/word_list.html", groups=groups)


def address_of(word: str) -> str:
    """Where a word stands on the page.

    >>> address_of("to pour, to cc")
    'to-pour-to-cc'
    """
    kept = "".join(letter if letter.isalnum() else " " for letter in escape(word).lower())
    return "-".join(kept.split())
