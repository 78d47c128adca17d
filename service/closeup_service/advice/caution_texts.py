"""The usual cautions in plain words: the one home of these texts.

They are common practice, no source. They never call anything free of danger, state no number of their own, and defer to
makers' instructions, local rules and qualified people. The rules that attach them are in `cautions`.
"""

from msgspec import Struct

from closeup_service.advice.figures import decimal
from closeup_service.advice.remark import Remark
from closeup_service.language import mark, tr


class Caution(Remark):
    """A usual caution: whom it concerns, too."""

    concerns: str


class GeneralCaution(Caution):
    """A caution in general words, and what it applies to."""

    applies_to: str


ORDER = {"people": 0, "animals": 1, "gear": 2}
"""Whom a caution can concern, first things first."""


class Text(Struct, frozen=True):
    """One caution: its code, whom it concerns, when it applies, its words, and its words where no value is known."""

    code: str
    concerns: str
    applies_to: str
    words: str
    in_general: str = ""

    def note(self, **values: float) -> Caution:
        """Word it for an answer."""
        told = {name: f"{value:.0f}" if value % 1 == 0 else decimal(value) for name, value in values.items()}
        return {"code": self.code, "concerns": self.concerns, "text": tr(self.words, **told)}

    def record(self) -> GeneralCaution:
        """Word it for the list of all cautions."""
        text = self.in_general or self.words
        return {"code": self.code, "concerns": self.concerns, "applies_to": tr(self.applies_to), "text": tr(text)}


FLASH_NEAR_EYES = Text(
    "flash-near-eyes",
    "people",
    mark("any flash close by"),
    mark(
        "A flash close to the face dazzles and can harm eyes. Never fire it near anyone's eyes, above all a "
        "child's, warn people before it fires, do not look into it, and keep the distance that its maker's "
        "instructions ask for.",
    ),
)
REPEATED_FLASHES = Text(
    "repeated-flashes",
    "people",
    mark("several flashes, one after the other"),
    mark(
        "Flashes that repeat can start a seizure in people with photosensitive epilepsy, and give others a "
        "headache. Tell everyone near beforehand, let them leave or turn away, stop at once if someone feels "
        "unwell, and call for medical help from qualified people.",
    ),
)
FLASH_NEVER_OPENED = Text(
    "flash-never-opened",
    "people",
    mark("mains flash, old flash units"),
    mark(
        "Never open a flash head, a flash unit or its power pack. Its capacitors hold a charge that can "
        "kill, long after it is switched off and unplugged. Leave every repair to qualified people.",
    ),
)
OLD_FLASH = Text(
    "old-flash-unit",
    "people",
    mark("old flash units"),
    mark(
        "Some old flash units put a high voltage on the contacts that join them to the camera. It can give "
        "you a shock and destroy the camera. Do not touch the contacts or connect such a unit until a "
        "qualified person has measured it and it is within the limit in the camera maker's instructions.",
    ),
)
MAINS_NEAR_WATER = Text(
    "mains-near-water",
    "people",
    mark("lamps and flash units on mains power"),
    mark(
        "Mains electricity and water together can kill. Keep lamps, flash units, plugs and cables away from "
        "water, wet specimens and preserving fluids, touch them with dry hands only, and use none that is "
        "damaged. Leave wiring and repairs to a licensed electrician, and follow the makers' instructions "
        "and the local codes.",
    ),
)
BATTERIES = Text(
    "batteries",
    "people",
    mark("batteries of cameras, lamps and flash units"),
    mark(
        "A battery that is damaged, swollen, wet or short-circuited can catch fire, burst or leak. Charge "
        "and use only what the maker's instructions name, keep batteries from heat, metal and children, "
        "never open one, and follow local rules for sending them and throwing them away.",
    ),
)
HOT_LAMP_TOO_NEAR = Text(
    "hot-lamp-too-near",
    "people",
    mark("a lamp nearer than its maker allows"),
    mark(
        "The modelling lamp stands {distance} mm away, nearer than the {least} mm that its maker allows. "
        "Cloth, paper, a specimen or a hand can burn there. Move the lamp back or switch it off, and follow "
        "its maker's instructions.",
    ),
    mark(
        "A lamp that stands nearer than its maker allows can burn cloth, paper, a specimen or a hand. Move "
        "it back or switch it off, and follow its maker's instructions.",
    ),
)
HOT_LAMP = Text(
    "hot-lamp",
    "people",
    mark("modelling lamps and other hot lamps"),
    mark(
        "A modelling lamp or another hot lamp can burn hands, set cloth and paper on fire, and dry out or "
        "cook a specimen. Switch it on only while you need it, never leave it alone, let it cool before you "
        "touch it, and keep the distances in its maker's instructions.",
    ),
)
STRONG_LAMP = Text(
    "strong-lamp",
    "people",
    mark("strong lamps, infrared ones too"),
    mark(
        "A strong lamp close by can harm eyes, even where it does not dazzle, as infrared light does not. Do "
        "not look into it, not through the finder either, point it away from faces, and follow its maker's "
        "instructions.",
    ),
)
ULTRAVIOLET = Text(
    "ultraviolet-light",
    "people",
    mark("ultraviolet light"),
    mark(
        "Ultraviolet light harms eyes and skin, and you cannot see most of it. Shield the lamp, wear the "
        "goggles, gloves and sleeves that its maker's instructions ask for, keep other people and animals "
        "out of the light, and switch it off as soon as you can.",
    ),
)
LASER = Text(
    "laser",
    "people",
    "lasers",
    mark(
        "A laser beam can blind at once and burn a sensor, and so can its reflection from glass, metal or "
        "water. Keep it away from eyes and out of the lens, wear the goggles that its maker names, follow "
        "local rules, and leave strong lasers to qualified people.",
    ),
)
SUN_THROUGH_LENS = Text(
    "sun-through-lens",
    "people",
    mark("work in sunlight"),
    mark(
        "Never look at the sun through a lens or a finder: it can blind you in a moment. A lens that faces "
        "the sun can also start a fire and burn the shutter and the sensor. Turn it away, put its cap on, "
        "and follow the maker's instructions.",
    ),
)
GLASS_IN_THE_SUN = Text(
    "glass-in-the-sun",
    "people",
    mark("glass left in the sun"),
    mark(
        "A lens, a magnifier or a round jar left in the sun, even behind a window, can gather its light and "
        "set cloth, paper or wood on fire. Cap lenses, put glass away or cover it, and follow local rules on "
        "fire.",
    ),
)
PRESERVING_FLUID = Text(
    "preserving-fluid",
    "people",
    mark("specimens in preserving fluid"),
    mark(
        "Many preserving fluids catch fire easily, from a hot lamp or a spark, and many harm skin, eyes and "
        "lungs. Keep jars closed and away from lamps and flash units, air the room, wear the gloves and "
        "goggles that the supplier's instructions ask for, and follow local rules and the advice of "
        "qualified people.",
    ),
)
OLD_SPECIMENS = Text(
    "old-specimens",
    "people",
    mark("dry specimens, above all from old collections"),
    mark(
        "Many old specimens were treated with poisons such as arsenic or mercury, and the dust, spores and "
        "mould of any can harm lungs and skin. Do not blow on them, keep your hands from your face, wear "
        "gloves, wash afterwards, and follow local rules and the advice of qualified people, such as the "
        "keeper of the collection.",
    ),
)
SHARP_THINGS = Text(
    "sharp-things",
    "people",
    mark("hands near glass, pins and blades"),
    mark(
        "Edges of glass, pins and blades cut and stick, and they are easy to overlook close to a lens. Move "
        "your hands slowly, cover the points and edges that you do not need, put broken glass and old blades "
        "into a hard box, and follow local rules for throwing them away.",
    ),
)
MOVING_RAIL = Text(
    "moving-rail",
    "people",
    mark("stacks on a rail that moves"),
    mark(
        "A moving rail pinches fingers, hair and cloth, pulls at cables, and does not stop for what is in "
        "its way. Keep hands clear while it moves and have its stop within reach. Try the whole travel first "
        "with the subject out of the way, and follow the maker's instructions.",
    ),
)
STANDS_AND_CABLES = Text(
    "stands-and-cables",
    "people",
    mark("lamps and flash heads on stands and cables"),
    mark(
        "Stands tip over, and people trip over cables. Spread the legs wide, weigh the stand down, lead "
        "cables along walls or tape them to the floor, and stay within the load and the height that the "
        "stand maker's instructions allow.",
    ),
)
THORIATED_GLASS = Text(
    "thoriated-glass",
    "people",
    mark("some old lenses"),
    mark(
        "Some old lenses hold glass with thorium, which is radioactive. Do not carry such a lens on your "
        "body, sleep near it, hold it to your eye for long, or grind or break its glass. Ask qualified "
        "people about it, and follow local rules when you post it or throw it away.",
    ),
)
FLASH_NEAR_ANIMALS = Text(
    "flash-near-animals",
    "animals",
    mark("any flash close to an animal"),
    mark(
        "A flash close to an animal can hurt its eyes and frighten it. Use no more light and no more flashes "
        "than you need, fire from the side, stop when it shows distress, and follow local rules and the "
        "advice of qualified people.",
    ),
)
LIVE_SUBJECT = Text(
    "live-subject",
    "animals",
    mark("living subjects"),
    mark(
        "A living subject suffers from heat, strong light, drying out and handling, and no picture is worth "
        "its harm. Work briefly, do not chill it, glue it or hold it fast to keep it still, put it back "
        "where you found it, and follow local rules on protected species.",
    ),
)
TRIGGER_OVER_LIMIT = Text(
    "trigger-voltage-over-limit",
    "gear",
    mark("flash units over the camera's limit"),
    mark(
        "The flash unit's trigger voltage of {voltage} V is above the {limit} V that the camera's maker "
        "allows, and can destroy the camera; a high one can give you a shock. Do not connect it or touch its "
        "contacts. Ask a qualified person for a way to fire it apart from the camera.",
    ),
    mark(
        "A flash unit whose trigger voltage is above what the camera's maker allows can destroy the camera; "
        "a high one can give you a shock. Do not connect it or touch its contacts. Ask a qualified person "
        "for a way to fire it apart from the camera.",
    ),
)
OVER_DUTY = Text(
    "flash-over-duty",
    "gear",
    mark("more flashes than the head's maker allows"),
    mark(
        "The flashes one after the other, {flashes}, are more than the {limit} that the flash head's maker "
        "allows: it can overheat, scorch and fail. Use fewer, or let it rest in between, as its maker's "
        "instructions say.",
    ),
    mark(
        "More flashes one after the other than the flash head's maker allows can make it overheat, scorch "
        "and fail. Use fewer, or let it rest in between, as its maker's instructions say.",
    ),
)
NEAR_DUTY = Text(
    "flash-near-duty",
    "gear",
    mark("nearly as many flashes as the maker allows"),
    mark(
        "The number of flashes one after the other, {flashes}, comes near the {limit} that the flash head's "
        "maker allows, and test flashes count too. Stop when it grows hot or smells, and let it rest as its "
        "maker's instructions say.",
    ),
    mark(
        "Nearly as many flashes one after the other as the flash head's maker allows make it hot, and test "
        "flashes count too. Let it rest as its maker's instructions say.",
    ),
)
STACK_COLLISION = Text(
    "stack-collision",
    "gear",
    mark("stacks that end too near the lens"),
    mark(
        "In the frame in which the lens is nearest, what stands out in front would reach {over} mm past the "
        "subject's nearest point. It meets the subject, its pin, its jar or its holder on the way. Turn the "
        "subject, or choose more working distance, and set the rail's stops as its maker's instructions say.",
    ),
    mark(
        "A stack can bring the front of the lens into the subject, its pin, its jar or its holder on the "
        "way. Turn the subject, or choose more working distance, and set the rail's stops as its maker's "
        "instructions say.",
    ),
)
HIDDEN_PROTRUSION = Text(
    "front-beyond-subject",
    "gear",
    mark("parts that stand out past the subject plane"),
    mark(
        "What stands out in front reaches {over} mm past the subject plane. It meets the subject before the "
        "picture is sharp, unless the subject fits inside it. Take it off as its maker's instructions say, "
        "or choose another set-up.",
    ),
    mark(
        "A hood, a guard or rear glass that stands out past the subject plane meets the subject before the "
        "picture is sharp. Take it off as its maker's instructions say, or choose another set-up.",
    ),
)
WORKING_NEAR_GLASS = Text(
    "subject-near-glass",
    "gear",
    mark("subjects deeper than the room before the lens"),
    mark(
        "Only {clearance} mm are left between the subject plane and what stands out in front, and the "
        "subject itself reaches {depth} mm towards the lens: glass and subject can touch. Bring them "
        "together by hand, slowly, looking from the side, and clean glass only as its maker's instructions "
        "say.",
    ),
    mark(
        "A subject that reaches further towards the lens than there is room can touch the glass. Bring them "
        "together by hand, slowly, looking from the side, and clean glass only as its maker's instructions "
        "say.",
    ),
)
EXPOSED_REAR = Text(
    "reversed-rear-exposed",
    "gear",
    mark("reversed lenses"),
    mark(
        "A reversed lens turns its rear glass, contacts and levers to the subject, bare of the mount that "
        "guards them. Keep grit, fluids and pins away from them, never force a lever, and follow the maker's "
        "instructions.",
    ),
)
LENS_CHANGE = Text(
    "lens-change-dust",
    "gear",
    mark("parts that come off the camera"),
    mark(
        "Whenever parts come off the camera, dust can reach the sensor. Switch the camera off, hold its "
        "mount downwards, have the next part ready, and clean only as the maker's instructions say.",
    ),
)
LIVE_CAMERA = Text(
    "lens-off-live-camera",
    "gear",
    mark("lenses that the camera does not stop down"),
    mark(
        "Never take the lens off while the camera is switched on, just to keep its aperture closed. Contacts "
        "can short, levers can jam, and dust can reach the sensor. Set the aperture as the lens maker's "
        "instructions say, or use a lens with an aperture ring.",
    ),
)
HEAVY_RIG = Text(
    "heavy-rig",
    "gear",
    mark("long or heavy parts on a mount"),
    mark(
        "Long or heavy parts pull at the camera's mount like a lever: they can bend or break it, or tip the "
        "stand over. Support them near their heaviest point, with a collar, a rail or a rest, check every "
        "joint, and stay within the load that the makers' instructions allow.",
    ),
)
REACHES_MIRROR = Text(
    "reaches-mirror-or-shutter",
    "gear",
    mark("lenses made for another mount"),
    mark(
        "A lens or a converter made for another mount can reach so far into a camera that it strikes the "
        "mirror or the shutter. Measure first how far it stands out behind its mount, join it gently, never "
        "use force, and follow the makers' instructions.",
    ),
)
FOCUS_ERROR = Text(
    "objective-off-infinity",
    "gear",
    mark("objectives before a lens not set to infinity"),
    mark(
        "The lens behind the infinity-corrected objective is {error} mm away from its focus for infinity: "
        "magnification and sharpness are no longer those engraved. Set it to infinity, as its maker's "
        "instructions say.",
    ),
    mark(
        "An infinity-corrected objective before a lens that is not set to infinity keeps neither the "
        "magnification nor the sharpness engraved on it. Set the lens to infinity, as its maker's "
        "instructions say.",
    ),
)
OBJECTIVE_ALONE = Text(
    "objective-without-lens",
    "gear",
    mark("objectives without a lens behind them"),
    mark(
        "An infinity-corrected objective is made to stand before a lens focused at infinity: without one it "
        "is neither as sharp nor as strong as engraved. Put a tube lens behind it, or follow its maker's "
        "instructions.",
    ),
)

TEXTS: tuple[Text, ...] = tuple(each for each in list(vars().values()) if isinstance(each, Text))
"""Every caution there is, people first."""
