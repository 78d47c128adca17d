"""HTTP: the application, its operations, problems and published document."""
