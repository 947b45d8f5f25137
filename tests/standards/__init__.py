"""Reports read as a stranger reads them: by published schemas and by libraries that are not ours."""
