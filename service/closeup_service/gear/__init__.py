"""What people own: the catalogue of formats, mounts and threads."""
