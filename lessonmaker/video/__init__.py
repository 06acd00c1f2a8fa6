"""Films: pictures and sound to MP4, with captions and chapters."""
