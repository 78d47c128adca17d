"""What the help says of the command that makes the bars of many photographs."""

SCALE_BARS = "scale-bars"
SUMMARY = "Scale bars for a folder of photographs, from a CSV file of the specimens"
DESCRIPTION = (
    f"{SUMMARY}.",
    "The CSV file names its columns in the first row. The column file names the photograph in the folder. Its scale comes from "
    "one of: tick_pitch_mm, the pitch of the finest marks of a ruler that the photograph itself shows; tick_pitch_mm with "
    "ruler_file, another photograph taken of a ruler at the same setting; magnification with pixel_pitch_um or sensor, whose "
    "width lies along the longer side; scale_px_per_mm; subject_width_mm. Any other column named as an option of closeup "
    "scale-reading photo or closeup scale-bar, with underscores, is used as that; all further ones, such as specimen, are "
    "carried over as they are.",
    "For each photograph the output folder gets a bar as SVG, and scale-bars.csv a row with scale, uncertainty, bar and "
    "caption. A photograph that gives none has its problem in the row; the others go on.",
)
EPILOG = (
    "Examples:",
    "  closeup scale-bars specimens.csv --photographs . --output bars",
    "Ends with 0 when every photograph has its bar, 1 when some have a problem, 2 for a mistake in the command.",
)
