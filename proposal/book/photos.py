"""What a book needs to know of a photo that is published with it."""

from proposal.frozen import frozen


@frozen
class PublishedPhoto:
    """A photo as published: its file's name under photos/, its size in pixels, whether it tells where it was taken."""

    file: str
    width_px: int
    height_px: int
    located: bool = False
