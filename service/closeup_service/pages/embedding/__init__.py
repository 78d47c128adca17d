"""The calculator on other people's pages: a custom element, frames, forms and links, all on the one API."""
