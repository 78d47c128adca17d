"""What --help says: the meaning, unit and bounds of every option, and examples that run."""

import shlex
from typing import Any

from closeup_client.command_line.exit_codes import HELP as EXIT_HELP
from closeup_client.command_line.figures import with_signs
from closeup_client.command_line.operation import Example, Field
from closeup_client.command_line.output import PICTURE
from closeup_client.command_line.request import ESTIMATE_UNKNOWN
from closeup_client.command_line.short_form.names import KINDS, Names, names_of
from closeup_client.command_line.short_form.writing import exact, written_group, written_train
from closeup_client.command_line.table import PROGRAM
from closeup_client.command_line.values import typed
from closeup_client.command_line.wording import Wording

IN_A_QUERY = "; in a query, separated by commas"
IN_A_FORM = "; given in base64 where true, assumed false"

TYPED = (
    "Numbers are taken as people write them: 2:1, 1:4 or 2x for a magnification, f/5.6, 1/125, a decimal comma, a unit "
    "directly behind (35mm, 3.5cm, 1.5in), 25% for a share."
)
TRAIN = (
    "The train is what light passes, subject first, with a + that stands alone between two parts. A part begins with the "
    "word for its kind; a part that begins with none of these is a lens. Then come bare values and name=value, in any "
    "order; every vocabulary name works as a name, with or without its unit. Put the whole in quotation marks."
)
OPEN = (
    "In place of one length, ? (or the word open) leaves it to be solved: --target says what it is to reach, --between "
    "the least and greatest length in mm."
)


def option_help(field: Field, wording: Wording) -> str:
    """Meaning, bounds and choices of an option."""
    needed = "Needed." if field.required else ""
    each = f"Give {field.option} once for each." if field.is_group_list else ""
    told = [wording.in_help(meaning(field)), with_signs(bounds(field)), choices(field, wording), needed, each]
    return " ".join(filter(None, told))


def meaning(field: Field) -> str:
    """Meaning of an option, without what concerns addresses alone."""
    if field.is_picture:
        return f"File to write, ending in {PICTURE}: {field.meaning.replace(IN_A_FORM, '')}"
    if field.name == ESTIMATE_UNKNOWN and "assumed false" in field.meaning:
        return field.meaning.replace("assumed false", "done where the focal length is told, unless told not to")
    return field.meaning.replace(IN_A_QUERY, "") or f"{field.label[:1].upper()}{field.label[1:]}."


def bounds(field: Field) -> str:
    """Bounds in words."""
    if field.minimum is None or field.maximum is None:
        return ""
    return f"From {exact(field.minimum)} to {exact(field.maximum)} {field.unit}".strip() + "."


def choices(field: Field, wording: Wording) -> str:
    """Choices in words."""
    return f"One of: {', '.join(wording.choices(field))}." if field.choices else ""


def metavar(field: Field) -> str:
    """Word that stands for the value of an option."""
    if field.kind == "text":
        return field.name.rsplit("_", 1)[-1].upper()
    return field.unit.upper() or "NUMBER"


def described(wording: Wording) -> list[str]:
    """Describe a command: its summary and its description, in the words of the command line."""
    operation = wording.operation
    texts = [f"{operation.summary}.", wording.in_help(operation.description)]
    below = [f"{PROGRAM} {each.name}" for each in wording.table.below(operation.name)]
    if below:
        texts.append(f"See also {' and '.join(below)}.")
    if any(field.kind == "number" for field in operation.fields) or operation.takes_document:
        texts.append(TYPED)
    return texts


def short_form_help(wording: Wording) -> list[str]:
    """Explain the short form, kind by kind, where the command takes a train or a group of data."""
    operation = wording.operation
    has_train = any(field.is_train for field in operation.options)
    groups = [field for field in operation.options if field.is_named]
    if not has_train and not groups:
        return []
    texts = ["The short form:", *([TRAIN] if has_train else [])]
    for kind, part in wording.table.parts.items() if has_train else ():
        words = dict.fromkeys([*(word for word, meant in KINDS.items() if meant == kind), kind])
        texts += said_of(kind, f"{', '.join(words)}: {part.meaning}", part.fields, wording)
    for field in groups:
        texts += said_of(field.name, f"{field.option}: {field.meaning}", field.fields, wording)
    return texts + ([OPEN] if operation.solve else [])


def said_of(kind: str, heading: str, fields: tuple[Field, ...], wording: Wording) -> list[str]:
    """List what can be said of one kind: bare values, then every name with its meaning and bounds."""
    names = names_of(kind)
    told = [heading + (f" Bare values: {names.example}." if names.example else "")]
    return told + [f"  {said_by(each, names)}\t{option_help(each, wording)}" for each in fields]


def said_by(field: Field, names: Names) -> str:
    """Return the word that gives a member, or the name that its value follows."""
    word = next((word for word, meant in names.words.items() if meant == (field.name, True)), None)
    return word or f"{names.shortest(field)}="


def examples(wording: Wording) -> list[tuple[str, str]]:
    """Summary and command line of every example that needs no document; they all run."""
    operation = wording.operation
    told = {field.name for field in operation.options} | {"solve", *(["columns"] if operation.takes_columns else [])}
    by_options = [each for each in operation.examples if told.issuperset(each.request)]
    bare = [(f"{operation.summary}.", f"{PROGRAM} {operation.name}")]
    return [(each.summary, command_line(wording, each)) for each in by_options] or bare


def command_line(wording: Wording, example: Example) -> str:
    """Write an example as a command line."""
    operation = wording.operation
    words, request = [PROGRAM, *operation.words, *example.photographs], example.request
    solve = request.get("solve", {})
    for field in operation.options:
        if field.name in request:
            words += option_words(wording, field, request[field.name], solve.get("unknown", ""))
    if operation.takes_columns:
        for pointer, values in request.get("columns", {}).items():
            words += ["--column", pointer, *map(exact, values)]
    if solve:
        target, value = next(iter(solve["target"].items()))
        meant = next(field for field in operation.targets if field.name == target)
        words += ["--target", f"{names_of('target').shortest(meant)}={exact(value)}"]
        if "minimum" in solve and "maximum" in solve:
            words += ["--between", exact(solve["minimum"]), exact(solve["maximum"])]
    return shlex.join(words)


def option_words(wording: Wording, field: Field, value: Any, left_open: str) -> list[str]:
    """Words of one option."""
    if field.is_train:
        return [field.option, written_train(value, wording.table.parts, left_open)]
    if field.is_flat_group:
        return [field.option, written_group(value, field)]
    if field.is_group_list:
        return [word for each in value for word in (field.option, written_group(each, field))]
    if field.kind == "flag":
        return [field.option if value else field.option.replace("--", "--no-", 1)]
    if field.is_scalar_list:
        return [field.option, *map(exact, value)]
    return [field.option, typed(value) if wording.names_quantities(field) else exact(value)]


def epilog(wording: Wording) -> list[str]:
    """Return what follows the options: the short form, examples that run, exit codes."""
    texts = [*short_form_help(wording), "Examples:"]
    for summary, command in examples(wording):
        texts += [f"  # {summary}", f"  {command}"]
    return [with_signs(wording.table.with_commands(text)) for text in (*texts, EXIT_HELP)]
