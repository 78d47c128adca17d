"""What the help says of the command that writes static pages."""

EXPORT = "export"
SUMMARY = "Static pages with tables for your lenses, for a site without a server"
DESCRIPTION = (
    f"{SUMMARY}.",
    "The folder gets index.html, a page for each lens with its charts as SVG, and page.css: plain HTML without scripts, which "
    "loads nothing from elsewhere, and prints. For each lens, mounted normal and reversed, it tells by marked f-number and "
    "magnification the effective f-number, the light lost with the factor on the exposure, the depth of field on each camera, "
    "and how far the flash stands, with what was assumed and the cautions.",
    "Two charts for each mounting stand on the first camera of the kit: sharpness by aperture, at the magnification of the "
    "list nearest to 1:1 that is reached, and magnification by extension. Where not enough is known of a lens, its page says "
    "what is missing instead.",
    "The lenses and cameras are those of the kit, but for those lent or not owned, and the lenses that --lens names. Files of "
    "these names that are there already are replaced.",
)
EPILOG = (
    "Examples:",
    "  closeup export site",
    "  closeup export site --lens '60mm p=1.1' --magnification 1:2 1:1 2:1 --guide-number 28",
)
