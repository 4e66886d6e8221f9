"""The catalogue of mistakes: what each does to the work, what to say of it, how common it is.

They are made in the order in which they stand here. How common each is: common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from enginemath.answers.by_hand.slip import Slip, misdivided, misfigured, misread
from enginemath.engine.stack import mean
from enginemath.units import CC_PER_CUBIC_INCH, MM_PER_INCH

CM_PER_INCH = MM_PER_INCH / 10

RATIOS = ("compression_ratio", "effective_ratio")
SWEPT = ("swept_volume", "displacement", "trapped_volume")
CLEARANCE = "clearance_volume"
AT_CLOSING = ("piston_drop", "trapped_volume", "effective_ratio")

# Share of all answers that show the mistake.
EVERYDAY, OFTEN, SOMETIMES, SELDOM, RARELY = 0.05, 0.04, 0.03, 0.02, 0.0004


@dataclass(frozen=True)
class Mistake:
    """A mistake of method.

    Args:
        id: its name, in plain trade words.
        commonness: share of answers that show it.
        tells: what was done, for the instructor; goes on after "The student".
        hint: for the student; never the answer.
        slips: the ways to make it, the usual one first.
        place: part of the drawing to look at, see `verdict.PLACES`; empty where it is none.
    """

    id: str
    commonness: float
    tells: str
    hint: str
    slips: tuple[Slip, ...]
    place: str = ""


def _all_volumes(factor: float) -> Slip:
    return misfigured(
        chambers=lambda v: [factor * chamber for chamber in v.chambers],
        gasket=lambda v: factor * v.gasket,
        decks=lambda v: [factor * deck for deck in v.decks],
        crown=lambda v: factor * v.crown,
        reliefs=lambda v: factor * v.reliefs,
        crevice=lambda v: factor * v.crevice,
    )


def _discs(factor: float) -> Slip:
    return misfigured(
        gasket=lambda v: factor * v.gasket, decks=lambda v: [factor * deck for deck in v.decks]
    )


def _swept(factor: float) -> Slip:
    return misfigured(swept=lambda v: factor * v.swept)


def _wrong_discs(factor: float) -> tuple[Slip, ...]:
    """Discs worked out too large or too small by a factor."""
    gasket = misfigured(gasket=lambda v: factor * v.gasket)
    decks = misfigured(decks=lambda v: [factor * deck for deck in v.decks])
    return (
        _swept(factor).on(*RATIOS, *SWEPT),
        _discs(factor).on(CLEARANCE),
        gasket.on("gasket_volume"),
        decks.on("deck_volume"),
        misfigured(crown=lambda v: v.crown + (1 - factor) * v.known_disc).on("crown_volume"),
        gasket.on(CLEARANCE).seldom(0.4),
        decks.on(CLEARANCE).seldom(0.3),
    )


def _wrong_unit(factor: float) -> tuple[Slip, ...]:
    """Volumes converted to cc by a wrong factor, or not at all."""
    crown = misfigured(crown=lambda v: factor * v.crown, reliefs=lambda v: factor * v.reliefs)
    return (
        *_wrong_discs(factor),
        _all_volumes(factor).on(CLEARANCE),
        crown.on("crown_volume").seldom(0.5),
    )


def _powers_of_ten() -> tuple[Slip, ...]:
    further = (
        slip.seldom(share)
        for factor, share in ((0.1, 0.3), (100.0, 0.1), (0.01, 0.1), (1000.0, 0.2), (0.001, 0.2))
        for slip in _wrong_unit(factor)[:5]
        if factor > 0.05 or slip.quantities != {CLEARANCE}  # hardly told from discs forgotten
    )
    return *_wrong_unit(10.0), *further


def _typed_in_inches(*names: str) -> Slip:
    """Lengths in inches typed as mm."""

    def typed(name: str) -> Callable[..., object]:
        def change(r: object) -> object:
            length = getattr(r, name)
            if isinstance(length, tuple):
                return tuple(each / MM_PER_INCH for each in length)
            return length and length / MM_PER_INCH

        return change

    return misread(**{name: typed(name) for name in names})


def _has_reliefs_alone(r: Any) -> bool:
    return r.known_depth is None and r.dish == r.dome == 0


def _as_its_root(bore: float, r: Any) -> float:
    """The bore whose square is the bore itself, as a number in the unit that it was read in."""
    return math.sqrt(bore * (MM_PER_INCH if r.in_inches else 1.0))


CATALOGUE: dict[str, Mistake] = {}


def _mistake(
    id: str, commonness: float, tells: str, hint: str, *slips: Slip, place: str = ""
) -> None:
    CATALOGUE[id] = Mistake(id, commonness, tells, hint, slips, place)


_mistake(
    "start-reading-not-subtracted",
    SOMETIMES,
    "added up the burette's end readings without taking off the start readings",
    "A burette seldom starts at zero. What ran out in each fill?",
    misread(fills=lambda r: tuple((0.0, end) for _, end in r.fills)),
    place="burette",
)
_mistake(
    "refill-not-counted",
    SOMETIMES,
    "counted one fill of the burette alone and left out the refill",
    "How many times was the burette filled? What happened to the liquid of the other fills?",
    misread(fills=lambda r: r.fills[-1:]),
    misread(fills=lambda r: r.fills[:-1]).seldom(0.3),
    misread(fills=lambda r: r.fills[:1]).seldom(0.2),
    place="burette",
)
_mistake(
    "gasket-uncompressed",
    OFTEN,
    "used the gasket's free thickness, not the compressed one",
    "How thick is the gasket once the head is bolted down?",
    misread(thickness=lambda r: r.free_thickness).where(
        lambda r: r.free_thickness and r.gasket_poured is None
    ),
    misfigured(new_thickness=lambda v: v.free_thickness + v.thicker(v.gasket_bore))
    .on("gasket_thickness")
    .where(lambda r: r.free_thickness)
    .said(
        "started from the gasket's free thickness, not the compressed one",
        "How thick is the present gasket once the head is bolted down?",
    ),
    place="gasket",
)
_mistake(
    "cylinder-bore-for-gasket-bore",
    OFTEN,
    "worked out the gasket's volume on the cylinder bore, not on the gasket's own bore",
    "Is the hole in the gasket as wide as the cylinder? Look at which diameter you used.",
    misread(gasket_bore=lambda r: r.bore).where(lambda r: r.gasket_bore is not None),
    misfigured(new_thickness=lambda v: v.thickness + v.thicker(v.bore))
    .on("gasket_thickness")
    .said(
        "spread the change over the cylinder bore, not over the gasket's own bore",
        "Over which opening is the change spread: the cylinder's or the gasket's?",
    ),
    place="gasket",
)
_mistake(
    "depth-at-bdc-as-stroke",
    SOMETIMES,
    "took the depth at bottom dead centre for the stroke; it holds the deck clearance already",
    "From where to where does the piston travel? A depth from the deck starts higher than that.",
    misread(stroke=lambda r: r.depth_at_bdc),
    place="stroke",
)
_mistake(
    "crank-radius-as-stroke",
    SELDOM,
    "used the crank radius, half the stroke, as the stroke",
    "How far does the piston travel in half a turn: one crank radius, or two?",
    misread(stroke=lambda r: r.stroke / 2),
    _swept(0.5).on("effective_ratio").seldom(0.5),
    place="stroke",
)
_mistake(
    "inches-as-mm",
    SELDOM,
    "entered a length in inches as if it were in mm",
    "Look at the unit of every length before you multiply. Could one be in inches?",
    _typed_in_inches("thickness").where(lambda r: r.gasket_poured is None),
    _typed_in_inches("decks").on("deck_volume"),
    _typed_in_inches("bore").on("deck_volume", *SWEPT),
    _typed_in_inches("stroke").on(*SWEPT),
    _typed_in_inches("bore", "stroke").on(*SWEPT),
    _typed_in_inches("gasket_bore").on("gasket_volume"),
    _typed_in_inches("gasket_bore", "thickness").on("gasket_volume"),
    _typed_in_inches("known_depth").on("crown_volume"),
    _typed_in_inches("bore").on("crown_volume"),
    _typed_in_inches("decks").on(CLEARANCE, *RATIOS).seldom(0.1),
    _typed_in_inches("gasket_bore").on(CLEARANCE, *RATIOS).seldom(0.02),
    _typed_in_inches("bore").on(CLEARANCE, *RATIOS).seldom(0.2),
    _typed_in_inches("stroke").on(*RATIOS).seldom(0.2),
    _typed_in_inches("bore", "stroke").on(*RATIOS).seldom(0.2),
    _typed_in_inches("known_depth").on(CLEARANCE, *RATIOS).seldom(0.2),
    _typed_in_inches("land_height").seldom(0.01),
    _typed_in_inches("land_clearance").seldom(0.01),
)
_mistake(
    "land-clearance-on-each-side",
    RARELY,
    "took the ring land's clearance, which is on the diameter, for the gap on each side",
    "Is the ring land's clearance measured across the piston, or on one side of it?",
    misread(land_clearance=lambda r: 2 * r.land_clearance),
    place="crevice",
)
_mistake(
    "rod-ignored",
    OFTEN,
    "placed the piston at intake closing by the cosine alone, as if the rod were endless",
    "The rod leans as the crank turns. Does your piston position know how long the rod is?",
    misread(rod_length=None).on(*AT_CLOSING),
    place="rod",
)
_mistake(
    "angle-from-tdc",
    SOMETIMES,
    "counted the intake closing from top dead centre, not from bottom dead centre",
    "From which dead centre is the intake closing counted? Where is the piston then?",
    misread(crank_at_closing=lambda r: r.crank_at_closing - 180).on(*AT_CLOSING),
    place="crank",
)
_mistake(
    "calculator-in-radians",
    SELDOM,
    "took sine and cosine of the angle with the calculator set to radians",
    "Is your calculator set to degrees? Try the cosine of 60: it is one half.",
    misread(crank_at_closing=lambda r: math.degrees(r.crank_at_closing)).on(*AT_CLOSING),
    place="crank",
)
_mistake(
    "stroke-as-crank-radius",
    SELDOM,
    "used the whole stroke as the crank radius",
    "How wide is the circle that the crank pin runs on? How long is its radius?",
    misread(stroke=lambda r: 2 * r.stroke).on(*AT_CLOSING),
    place="crank",
)
_mistake(
    "pushed-out-for-trapped",
    SELDOM,
    "took what the piston has risen when the intake closes for what it has left to rise",
    "The valve is shut: what does the piston squeeze now, what lies above it or below it?",
    misfigured(remaining=lambda v: 1 - v.remaining).on(*AT_CLOSING),
    place="stroke",
)
_mistake(
    "intake-closing-ignored",
    SOMETIMES,
    "left the intake closing out, as if the valve shut at bottom dead centre",
    "When does the cylinder begin to compress: at bottom dead centre, or later?",
    misfigured(remaining=1.0).on(*AT_CLOSING),
    place="crank",
)
_mistake(
    "ratio-scaled-not-volume",
    SOMETIMES,
    "scaled the static ratio by the remaining stroke, not the swept volume",
    "Which of the two volumes shrinks when the intake closes late? Does the other one?",
    misfigured(scaled=True).on("effective_ratio"),
)
_mistake(
    "radius-for-diameter",
    EVERYDAY,
    "put the whole bore where the radius belongs: π·b²·h, four times too much",
    "Is your formula for a radius or for a diameter? Which one did you measure?",
    *_wrong_discs(4.0),
    misfigured(
        swept=lambda v: 4 * v.swept,
        gasket=lambda v: 4 * v.gasket,
        decks=lambda v: [4 * deck for deck in v.decks],
    )
    .on(*RATIOS)
    .seldom(0.3),
    misfigured(new_thickness=lambda v: v.thickness + v.thicker(v.gasket_bore) / 4)
    .on("gasket_thickness")
    .said(
        "put the whole bore where the radius belongs: an opening four times too large",
        "Is your formula for a radius or for a diameter? Which one did you measure?",
    ),
    place="bore",
)
_mistake(
    "diameter-halved-twice",
    SELDOM,
    "halved the bore twice: the radius in the formula π/4·d²·h",
    "The quarter in π/4 already turns a diameter into a radius. Which one did you square?",
    *_wrong_discs(0.25),
    place="bore",
)
_mistake(
    "bore-not-squared",
    SOMETIMES,
    "multiplied by the bore once, without squaring it",
    "The disc's area has two directions across. How often does the bore stand in your product?",
    misread(bore=lambda r: _as_its_root(r.bore, r)).on(*SWEPT, "deck_volume").seldom(0.45),
    misread(gasket_bore=lambda r: _as_its_root(r.gasket_bore, r))
    .on("gasket_volume")
    .where(lambda r: r.gasket_bore and r.gasket_poured is None)
    .seldom(0.45),
    place="bore",
)
_mistake(
    "square-for-circle",
    SOMETIMES,
    "took the bore squared for the area, without π/4: a square, not a circle",
    "A bore is round. How much of a square as wide does a circle fill?",
    _swept(4 / math.pi).on(*SWEPT).seldom(0.45),
    place="bore",
)
_mistake(
    "bore-and-stroke-exchanged",
    SOMETIMES,
    "took the bore for the stroke and the stroke for the bore",
    "Which of the two is the cylinder's width, and which the piston's travel? Which is squared?",
    misread(bore=lambda r: r.stroke, stroke=lambda r: r.bore)
    .on("swept_volume", "displacement")
    .seldom(0.45),
    place="bore",
)
_mistake(
    "gasket-bore-for-cylinder-bore",
    SOMETIMES,
    "worked out the deck's volume on the gasket's bore, not on the cylinder's own",
    "The deck's disc lies inside the cylinder. Which diameter did you use?",
    misread(bore=lambda r: r.gasket_bore)
    .on("deck_volume")
    .where(lambda r: r.gasket_bore)
    .seldom(0.45),
    place="deck",
)
_mistake(
    "cubic-inches-as-cc",
    SOMETIMES,
    "left a volume in cubic inches and used the number as cc",
    "Are all the volumes that you add up in the same unit? Write the unit after each.",
    *_wrong_unit(1 / CC_PER_CUBIC_INCH),
    _discs(1 / CC_PER_CUBIC_INCH).on(*RATIOS).where(lambda r: r.in_inches).seldom(0.3),
)
_mistake(
    "inch-factor-not-cubed",
    SELDOM,
    "turned cubic inches into cc with 2.54, the factor of a length",
    "One inch is 2.54 cm. How many small cubes fill a cube one inch wide, high and deep?",
    *_wrong_unit(CM_PER_INCH / CC_PER_CUBIC_INCH),
)
_mistake(
    "inch-factor-squared",
    SELDOM,
    "turned cubic inches into cc with 2.54², the factor of an area",
    "A volume has three directions. In how many of them did you convert?",
    *_wrong_unit(CM_PER_INCH**2 / CC_PER_CUBIC_INCH),
)
_mistake(
    "thousand-slip",
    SOMETIMES,
    "went from mm³ to cc by a wrong power of ten (1 cc is 1000 mm³)",
    "How many cubes of one mm fit into a cube of one cm? Count along all three edges.",
    *_powers_of_ten(),
)
_mistake(
    "whole-engine-for-one-cylinder",
    EVERYDAY,
    "used the displacement of the whole engine for one cylinder",
    "How many cylinders share this chamber? The ratio is of one cylinder.",
    misfigured(cylinders=lambda v: v.count).on(*RATIOS, "swept_volume", "trapped_volume"),
)
_mistake(
    "one-cylinder-for-whole-engine",
    SOMETIMES,
    "gave the swept volume of one cylinder for the displacement",
    "The displacement is of the whole engine. How many cylinders does it have?",
    misfigured(count=1).on("displacement"),
)
_mistake(
    "gasket-forgotten",
    EVERYDAY,
    "left the gasket out of the clearance volume",
    "What lies between the head and the deck? Is it in your clearance volume?",
    misfigured(gasket=0.0).on(CLEARANCE, *RATIOS),
    place="gasket",
)
_mistake(
    "pour-not-reduced",
    SELDOM,
    "took the whole pour for the crown, without taking off the disc of the known depth",
    "The piston stood a known depth down. How much of the pour filled the bore above it?",
    misfigured(crown=lambda v: v.crown + v.known_disc),
    place="crown",
)
_mistake(
    "dish-subtracted",
    SOMETIMES,
    "took the dish away from the clearance volume; it adds to it",
    "With the piston at the top, does a dish leave more room for the mixture, or less?",
    misfigured(crown=lambda v: -abs(v.crown)),
    misfigured(
        crown=lambda v: -v.crown if v.crown > 0 else v.crown,
        reliefs=lambda v: -v.reliefs if v.crown > 0 else v.reliefs,
    ).seldom(0.3),
    place="crown",
)
_mistake(
    "dome-added",
    OFTEN,
    "added the dome to the clearance volume; it takes room away",
    "With the piston at the top, does a dome leave more room for the mixture, or less?",
    misfigured(crown=lambda v: abs(v.crown)),
    misfigured(
        crown=lambda v: -v.crown if v.crown < 0 else v.crown,
        reliefs=lambda v: -v.reliefs if v.crown < 0 else v.reliefs,
    ).seldom(0.3),
    place="crown",
)
_mistake(
    "crown-forgotten",
    SOMETIMES,
    "left the dish or dome of the piston out",
    "Is the top of the piston flat? What does its shape do to the room above it?",
    misfigured(crown=0.0),
    place="crown",
)
_mistake(
    "reliefs-forgotten",
    OFTEN,
    "left the valve reliefs out",
    "Look at the crown again: is there anything cut into it besides the dish or dome?",
    misfigured(reliefs=0.0),
    place="crown",
)
_mistake(
    "reliefs-subtracted",
    RARELY,
    "took the valve reliefs away from the clearance volume; they add to it",
    "Valve reliefs are cut into the crown. Do they leave more room, or less?",
    misfigured(reliefs=lambda v: -v.reliefs).where(lambda r: not _has_reliefs_alone(r)),
    # As usual as a dish's sign where the crown has nothing else.
    misfigured(reliefs=lambda v: -v.reliefs).where(_has_reliefs_alone).seldom(SELDOM / RARELY),
    place="crown",
)
_mistake(
    "deck-counted-twice-in-pour",
    SELDOM,
    "entered a pour that holds the deck volume already as the crown, and added the deck again",
    "Down to where did you pour? If the deck volume is in it, it must not be added again.",
    misfigured(decks_poured=lambda v: v.decks).on(CLEARANCE, "crown_volume", *RATIOS),
    place="deck",
)
_mistake(
    "deck-forgotten",
    SOMETIMES,
    "left the deck volume out of the clearance volume",
    "Does the piston come up level with the deck? What about the room that is left?",
    misfigured(decks=lambda v: [0.0] * len(v.decks)).on(CLEARANCE, *RATIOS),
    misfigured(deck_clearance=0.0)
    .on("squish_clearance")
    .said(
        "left the deck clearance out of the squish clearance",
        "Does the piston come up level with the deck?",
    ),
    place="deck",
)
_mistake(
    "deck-sign",
    SOMETIMES,
    "turned the sign of the deck clearance: below the deck counted as above, or the other way",
    "Does the piston stop below the deck or above it? Does that add room, or take it away?",
    misfigured(decks=lambda v: [-deck for deck in v.decks]).on(CLEARANCE, "deck_volume", *RATIOS),
    misfigured(deck_clearance=lambda v: -v.deck_clearance)
    .on("squish_clearance")
    .said(
        "turned the sign of the deck clearance",
        "Below the deck, is there more room than the gasket alone gives, or less?",
    ),
    place="deck",
)
_mistake(
    "crevice-forgotten",
    OFTEN,
    "left the ring-land crevice out of the clearance volume",
    "The piston is a little smaller than the bore above its top ring. Where is that room counted?",
    misfigured(crevice=0.0),
    place="crevice",
)
_mistake(
    "chamber-alone",
    SELDOM,
    "took the chamber in the head for the whole clearance volume",
    "Is the chamber all the room there is above the piston at the top? Walk from the head down.",
    misfigured(
        gasket=0.0,
        decks=lambda v: [0.0] * len(v.decks),
        crown=0.0,
        reliefs=0.0,
        crevice=0.0,
    ).on(CLEARANCE, *RATIOS),
)
_mistake(
    "clearance-counted-as-swept",
    RARELY,
    "took the volume at bottom dead centre for the swept volume",
    "Does the piston sweep the room that is left above it at the top?",
    misdivided(lambda ratio: lambda swept, clearance: ratio(swept + clearance, clearance)),
    misfigured(swept=lambda v: v.swept + mean(v.clearances())).on("swept_volume"),
)
_mistake(
    "forgot-plus-one",
    EVERYDAY,
    "divided the swept volume alone by the clearance volume",
    "At bottom dead centre, what is above the piston besides the swept volume?",
    misdivided(lambda ratio: lambda swept, clearance: ratio(swept, clearance) - 1),
    misfigured(wanted=lambda v: v.swept / v.target)
    .on("wanted_clearance")
    .said(
        "divided the swept volume by the target ratio and did not take one off it",
        "The ratio counts the clearance volume too. What is left of it for the swept volume alone?",
    ),
)
_mistake(
    "divided-by-swept",
    RARELY,
    "divided by the swept volume, not by the clearance volume",
    "Two volumes make the ratio: at the bottom and at the top. Which one goes below the line?",
    misdivided(lambda ratio: lambda swept, clearance: ratio(swept, clearance) * clearance / swept),
)
_mistake(
    "ratio-upside-down",
    SELDOM,
    "turned the ratio upside down: the small volume over the large one",
    "Is there more room above the piston at the bottom or at the top? Which goes above the line?",
    misdivided(lambda ratio: lambda swept, clearance: 1 / ratio(swept, clearance)),
)
_mistake(
    "present-for-wanted",
    SOMETIMES,
    "gave the clearance volume that there is now",
    "That room is there now. How much would give the target ratio?",
    misfigured(wanted=lambda v: mean(v.clearances())).on("wanted_clearance"),
)
_mistake(
    "change-sign-turned",
    SOMETIMES,
    "turned the sign of the change",
    "Does a higher ratio take more room above the piston, or less?",
    misfigured(change=lambda v: -v.volume_change()).on("volume_change"),
    misfigured(new_thickness=lambda v: v.thickness - v.thicker(v.gasket_bore))
    .on("gasket_thickness")
    .said("turned the sign of the change", "To lose room, must the gasket be thicker or thinner?"),
)
_mistake(
    "wanted-for-change",
    SOMETIMES,
    "gave the wanted clearance volume for the change",
    "That is what should be there. By how much does it differ from what is there?",
    misfigured(change=lambda v: v.wanted_clearance()).on("volume_change"),
)
_mistake(
    "change-for-thickness",
    SOMETIMES,
    "gave the change of the thickness, not the thickness",
    "That is how much thicker or thinner. From which thickness do you start?",
    misfigured(new_thickness=lambda v: v.thicker(v.gasket_bore)).on("gasket_thickness"),
    place="gasket",
)
_mistake(
    "present-gasket",
    SOMETIMES,
    "took the present gasket for the squish clearance, not the new one",
    "Which gasket is bolted down when the target is reached?",
    misfigured(new_thickness=lambda v: v.thickness).on("squish_clearance"),
    place="gasket",
)
