"""The parsers of the commands that are no operations."""

from collections.abc import Callable
from typing import Any

from closeup_client.command_line.arguments import KIT_HELP, add_service, build_parser, reader
from closeup_client.command_line.completion.scripts import SHELLS
from closeup_client.command_line.export import help as export_help
from closeup_client.command_line.parsing import COMPLETION, Parser
from closeup_client.command_line.scale_bars import help as scale_bars_help
from closeup_client.command_line.table import PROGRAM, Table


def build_scale_bars_parser(table: Table, with_help: bool, **told: Any) -> Parser:
    """Parser of the command that makes the bars of many photographs."""
    del table, with_help
    parser = build_parser(scale_bars_help.DESCRIPTION, scale_bars_help.EPILOG, **told)
    parser.add_argument("specimens", metavar="SPECIMENS", help="CSV file of the specimens, a row for each photograph.")
    parser.add_argument("--photographs", metavar="FOLDER", required=True, help="Folder that holds the photographs.")
    parser.add_argument("--output", metavar="FOLDER", required=True, help="Folder for the bars and the results.")
    add_service(parser)
    return parser


def build_export_parser(table: Table, with_help: bool, **told: Any) -> Parser:
    """Parser of the command that writes static pages."""
    del with_help
    parser = build_parser(export_help.DESCRIPTION, export_help.EPILOG, **told)
    parser.add_argument("folder", metavar="FOLDER", help="Folder for the pages.")
    parser.add_argument("--lens", metavar="LENS", action="append", help="A further lens, such as '60mm f/2.8 p=1.1'.")
    parser.add_argument("--kit", metavar="FILE", help=KIT_HELP)
    parser.add_argument(
        "--magnification",
        metavar="RATIO",
        nargs="+",
        type=reader(table.operation("optimum-aperture").field("magnification")),
        default=[0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0],
        help="Magnifications of the columns, such as 1:2 1:1 2:1.",
    )
    parser.add_argument(
        "--guide-number",
        metavar="METRES",
        type=reader(table.operation("flash").field("guide_number_m")),
        default=28.0,
        help="Guide number of the flash at ISO 100, in metres; %(default)g unless given.",
    )
    parser.add_argument(
        "--subject-depth-mm",
        metavar="MM",
        type=reader(table.operation("optimum-aperture").field("subject_depth_mm")),
        default=1.0,
        help="Depth of the subject in the charts; %(default)g mm unless given.",
    )
    parser.add_argument(
        "--sensor-detail-lp-per-mm",
        metavar="LP/MM",
        type=reader(table.operation("optimum-aperture").field("sensor_detail_lp_per_mm")),
        default=30.0,
        help="Detail on the sensor whose contrast the charts show; %(default)g line pairs per mm unless given.",
    )
    add_service(parser)
    return parser


def build_completion_parser(table: Table, with_help: bool, **told: Any) -> Parser:
    """Parser of the command that prints a script for the shell."""
    del table, with_help
    description = "Prints a script for your shell to read, for example from its start-up file."
    shown = ["Examples:", *(f"  {PROGRAM} {COMPLETION} {shell}" for shell in SHELLS)]
    parser = build_parser([description], shown, **told)
    parser.add_argument("shell", choices=SHELLS, help="which shell")
    return parser


PARSERS: dict[str, Callable[..., Parser]] = {
    scale_bars_help.SCALE_BARS: build_scale_bars_parser,
    export_help.EXPORT: build_export_parser,
    COMPLETION: build_completion_parser,
}
