"""The picture: machine and rider to scale, before and after."""

from fitplanner.ui.picture.layout import Camera, FormatLength
from fitplanner.ui.picture.paint import describe, paint_scene, plain_mm, render_to_image
from fitplanner.ui.picture.view import FrontView, PictureView

__all__ = [
    "Camera", "FormatLength", "FrontView", "PictureView", "describe", "paint_scene", "plain_mm",
    "render_to_image",
]  # fmt: skip
