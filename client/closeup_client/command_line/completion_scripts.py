"""The completion scripts of the shells, from what can be completed; our own, without a library."""

import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

PROGRAM = "closeup"
GLOBAL_OPTIONS = ("--help", "--version")


class Takes(Enum):
    """What stands behind an option."""

    NOTHING = "nothing"
    VALUE = "value"
    FILE = "file"


@dataclass(frozen=True, slots=True)
class Option:
    """One option, with the words known for its value; without a name, the words stand alone."""

    name: str
    meaning: str
    takes: Takes
    values: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Command:
    """One command and its options."""

    name: str
    summary: str
    options: tuple[Option, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """Words that can stand where no value is due."""
        return tuple(word for option in self.options for word in ([option.name] if option.name else option.values))


def bash(commands: Sequence[Command]) -> str:
    """Script for bash."""
    names = shlex.quote(" ".join([*(command.name for command in commands), *GLOBAL_OPTIONS]))
    lines = [
        f"# Completion of {PROGRAM} for bash: source <({PROGRAM} completion bash)",
        f"_{PROGRAM}() {{",
        "  local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]} words=",
        "  COMPREPLY=()",
        "  if (( COMP_CWORD == 1 )); then",
        f'    COMPREPLY=($(compgen -W {names} -- "$word"))',
        "    return",
        "  fi",
        '  case "$command $last" in',
        *bash_values(commands),
        '    *) case "$command" in',
        *(f"      {command.name}) words={shlex.quote(' '.join(command.words))} ;;" for command in commands),
        "    esac ;;",
        "  esac",
        '  COMPREPLY=($(compgen -W "$words" -- "$word"))',
        "  if [[ ${COMPREPLY[0]-} == *= ]]; then compopt -o nospace 2>/dev/null; fi",
        "}",
        f"complete -F _{PROGRAM} {PROGRAM}",
    ]
    return "\n".join(lines) + "\n"


def bash_values(commands: Sequence[Command]) -> Iterator[str]:
    """Cases of options that take a value."""
    for command, option in valued(commands):
        place = f'    "{command.name} {option.name}")'
        if option.takes is Takes.FILE:
            yield f'{place} COMPREPLY=($(compgen -f -- "$word")); return ;;'
        elif option.values:
            yield f"{place} words={shlex.quote(' '.join(option.values))} ;;"
        else:
            yield f"{place} return ;;"


def valued(commands: Sequence[Command]) -> Iterator[tuple[Command, Option]]:
    """Yield every named option that takes a value."""
    for command in commands:
        for option in command.options:
            if option.name and option.takes is not Takes.NOTHING:
                yield command, option


def zsh(commands: Sequence[Command]) -> str:
    """Script for zsh."""
    lines = [
        f"#compdef {PROGRAM}",
        f"# Completion of {PROGRAM} for zsh: source <({PROGRAM} completion zsh), after compinit",
        f"_{PROGRAM}() {{",
        "  local -a found",
        "  if (( CURRENT == 2 )); then",
        f"    found=({' '.join(described(each.name, each.summary) for each in commands)})",
        "    _describe command found",
        "    return",
        "  fi",
        '  case "$words[2] $words[CURRENT-1]" in',
        *zsh_values(commands),
        "  esac",
        '  case "$words[2]" in',
        *(f"    {command.name}) found=({zsh_words(command)}) ;;" for command in commands),
        "  esac",
        "  _describe option found",
        "}",
        f'if [ "$funcstack[1]" = _{PROGRAM} ]; then _{PROGRAM} "$@"; else compdef _{PROGRAM} {PROGRAM}; fi',
    ]
    return "\n".join(lines) + "\n"


def zsh_values(commands: Sequence[Command]) -> Iterator[str]:
    """Cases of options that take a value."""
    for command, option in valued(commands):
        place = f'    "{command.name} {option.name}")'
        if option.takes is Takes.FILE:
            yield f"{place} _files; return ;;"
        elif option.values:
            ending = "-S '' " if option.values[0].endswith("=") else ""
            yield f"{place} compadd {ending}-- {shlex.join(option.values)}; return ;;"
        else:
            yield f"{place} return ;;"


def zsh_words(command: Command) -> str:
    """Words of a command with their meanings."""
    options = [described(option.name, option.meaning) for option in command.options if option.name]
    return " ".join(options or map(shlex.quote, command.words))


def described(word: str, meaning: str) -> str:
    """Word and meaning as zsh takes them, a colon between."""
    return shlex.quote(f"{word}:{meaning.replace(':', ' -')}")


def fish(commands: Sequence[Command]) -> str:
    """Script for fish."""
    lines = [
        f"# Completion of {PROGRAM} for fish: {PROGRAM} completion fish | source",
        f"complete -c {PROGRAM} -f",
        *(
            f"complete -c {PROGRAM} -n __fish_use_subcommand -a {command.name} -d {fish_quoted(command.summary)}"
            for command in commands
        ),
    ]
    for command in commands:
        lines += [fish_line(command, option) for option in command.options]
    return "\n".join(lines) + "\n"


def fish_line(command: Command, option: Option) -> str:
    """Line of one option."""
    line = f"complete -c {PROGRAM} -n '__fish_seen_subcommand_from {command.name}'"
    if option.name:
        line += f" -l {option.name.removeprefix('--')} -d {fish_quoted(option.meaning)}"
    if option.name and option.takes is not Takes.NOTHING:
        line += " -r -F" if option.takes is Takes.FILE else " -x"
    return f"{line} -a {fish_quoted(' '.join(option.values))}" if option.values else line


def fish_quoted(text: str) -> str:
    """Text in quotation marks as fish takes them."""
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"
