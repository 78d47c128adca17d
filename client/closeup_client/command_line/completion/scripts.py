"""The completion scripts of the shells, from what can be completed; our own, without a library."""

import shlex
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from closeup_client.command_line.options import Option, Takes
from closeup_client.command_line.table import PROGRAM

GLOBAL_OPTIONS = ("--help", "--version")


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

    @property
    def takes_files(self) -> bool:
        """Whether files can stand there too."""
        return any(not option.name and option.takes is Takes.FILE for option in self.options)

    @property
    def above(self) -> str:
        """First word of a command of two words."""
        return self.name.partition(" ")[0] if " " in self.name else ""


def first_words(commands: Sequence[Command]) -> list[Command]:
    """Commands of a single word."""
    return [command for command in commands if not command.above]


def below(command: Command, commands: Sequence[Command]) -> list[tuple[str, str]]:
    """Second words that make another command with this one, with what they do."""
    return [(each.name.partition(" ")[2], each.summary) for each in commands if each.above == command.name]


def bash(commands: Sequence[Command]) -> str:
    """Script for bash."""
    names = shlex.quote(" ".join([*(command.name for command in first_words(commands)), *GLOBAL_OPTIONS]))
    lines = [
        f"# Completion of {PROGRAM} for bash: source <({PROGRAM} completion bash)",
        f"_{PROGRAM}() {{",
        "  local word=${COMP_WORDS[COMP_CWORD]} last=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]} words= files=",
        "  COMPREPLY=()",
        "  if (( COMP_CWORD == 1 )); then",
        f'    COMPREPLY=($(compgen -W {names} -- "$word"))',
        "    return",
        "  fi",
        '  if (( COMP_CWORD > 2 )); then case "$command ${COMP_WORDS[2]}" in',
        *(
            f"    {shlex.quote(command.name)}) command={shlex.quote(command.name)} ;;"
            for command in commands
            if command.above
        ),
        "  esac; fi",
        '  case "$command $last" in',
        *bash_values(commands),
        '    *) case "$command" in',
        *(bash_words(command, commands) for command in commands),
        "    esac ;;",
        "  esac",
        '  COMPREPLY=($(compgen -W "$words" -- "$word"))',
        '  if [[ $files && $word != -* ]]; then COMPREPLY+=($(compgen -f -- "$word")); fi',
        "  if [[ ${COMPREPLY[0]-} == *= ]]; then compopt -o nospace 2>/dev/null; fi",
        "}",
        f"complete -F _{PROGRAM} {PROGRAM}",
    ]
    return "\n".join(lines) + "\n"


def bash_words(command: Command, commands: Sequence[Command]) -> str:
    """Case of what can stand where no value is due."""
    words = [*command.words, *(word for word, _ in below(command, commands))]
    files = " files=yes" if command.takes_files else ""
    return f"      {shlex.quote(command.name)}) words={shlex.quote(' '.join(words))}{files} ;;"


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
        "  local command=$words[2] files=",
        "  if (( CURRENT == 2 )); then",
        f"    found=({' '.join(described(each.name, each.summary) for each in first_words(commands))})",
        "    _describe command found",
        "    return",
        "  fi",
        '  if (( CURRENT > 3 )); then case "$command $words[3]" in',
        *(
            f"    {shlex.quote(command.name)}) command={shlex.quote(command.name)} ;;"
            for command in commands
            if command.above
        ),
        "  esac; fi",
        '  case "$command $words[CURRENT-1]" in',
        *zsh_values(commands),
        "  esac",
        '  case "$command" in',
        *(zsh_case(command, commands) for command in commands),
        "  esac",
        "  _describe option found",
        "  if [[ -n $files ]]; then _files; fi",
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


def zsh_case(command: Command, commands: Sequence[Command]) -> str:
    """Case of what can stand where no value is due."""
    words = [*(described(*each) for each in below(command, commands)), zsh_words(command)]
    files = " files=yes" if command.takes_files else ""
    return f"    {shlex.quote(command.name)}) found=({' '.join(words)}){files} ;;"


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
            for command in first_words(commands)
        ),
    ]
    for command in commands:
        seen = fish_seen(command, commands)
        lines += [
            f"complete -c {PROGRAM} -n {seen} -a {word} -d {fish_quoted(text)}"
            for word, text in below(command, commands)
        ]
        lines += [fish_line(seen, option) for option in command.options]
    return "\n".join(lines) + "\n"


def fish_seen(command: Command, commands: Sequence[Command]) -> str:
    """Condition that a command has been typed, and none of two words that begins with it."""
    condition = "; and ".join(f"__fish_seen_subcommand_from {word}" for word in command.name.split())
    others = " ".join(word for word, _ in below(command, commands))
    return f"'{condition}; and not __fish_seen_subcommand_from {others}'" if others else f"'{condition}'"


def fish_line(seen: str, option: Option) -> str:
    """Line of one option."""
    line = f"complete -c {PROGRAM} -n {seen}"
    if not option.name and option.takes is Takes.FILE:
        return f"{line} -F"
    if option.name:
        line += f" -l {option.name.removeprefix('--')} -d {fish_quoted(option.meaning)}"
    if option.name and option.takes is not Takes.NOTHING:
        line += " -r -F" if option.takes is Takes.FILE else " -x"
    return f"{line} -a {fish_quoted(' '.join(option.values))}" if option.values else line


def fish_quoted(text: str) -> str:
    """Text in quotation marks as fish takes them."""
    return "'" + text.replace("\\", "\\\\").replace("'", "\\'") + "'"


SCRIPTS: Mapping[str, Callable[[Sequence[Command]], str]] = {"bash": bash, "zsh": zsh, "fish": fish}
SHELLS = tuple(SCRIPTS)
