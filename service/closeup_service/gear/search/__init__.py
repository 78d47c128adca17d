"""Every arrangement of a kit that fills the frame."""
