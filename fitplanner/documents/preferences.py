"""The user's preferences: how the program looks, what an hour costs, where things are kept.

Owns their shape. Refuses anything that belongs to a job.
"""

from enum import StrEnum
from typing import Literal

from pydantic import Field

from fitplanner.documents.base import Document
from fitplanner.documents.codec import Format
from fitplanner.documents.customers import Customers
from fitplanner.quantities import UnitSystem

_BASE64 = r"^[A-Za-z0-9+/]*={0,2}$"


class Theme(StrEnum):
    """Colours of the window."""

    LIGHT = "light"
    DARK = "dark"
    SYSTEM = "system"


class Rates(Document):
    """The shop's own figures for a price."""

    hourly: float = Field(
        default=60.0,
        ge=0,
        le=1e6,
        title="Hourly rate",
        description="Labour, in the currency below",
    )
    currency: str = Field(
        default="",
        title="Currency",
        description="ISO 4217 code, such as EUR; empty: the currency of the system's region",
        pattern=r"^([A-Z]{3})?$",
    )


class LastJob(Document):
    """Where the job lies that was on the table at the end: in a file, or in the shop.

    Neither a name nor a title is kept, so that whoever is erased from the shop is not found here.
    """

    file: str = Field(default="", max_length=4000, title="File")
    kept: str = Field(default="", max_length=80, title="Entry of the shop")


class Preferences(Document):
    """What the user set once; every field has a default."""

    format: Literal["fitplanner-preferences"] = "fitplanner-preferences"
    schema_version: Literal[4] = 4
    unit_system: UnitSystem = Field(default=UnitSystem.METRIC, title="Units")
    theme: Theme = Field(default=Theme.SYSTEM, title="Colours")
    rates: Rates = Field(default=Rates(), title="Prices")
    customers: Customers = Field(default=Customers(), title="Customers")
    shop_database: str = Field(
        default="",
        max_length=500,
        title="Database of the shop",
        description="server/database, with user:password@ in front where the server asks for "
        "them, or the full name of a folder; empty: a file in the user's own folder",
    )
    user_name: str = Field(
        default="",
        max_length=120,
        title="Your name",
        description="It stands with each change that you save; empty: the name of your account",
    )
    profiles_folder: str = Field(
        default="",
        max_length=500,
        title="Folder of the shop's machine profiles",
        description="A folder that all computers of the shop reach; empty: on this computer",
    )
    show_invented: bool = Field(
        default=True,
        title="Show the invented machines",
        description="Those that come with the program; without profiles of the shop they always "
        "show",
    )
    last_folder: str = Field(default="", title="Folder last used")
    last_job: LastJob = Field(default=LastJob(), title="Job last worked on")
    window_geometry: str = Field(
        default="",
        title="Place of the window",
        description="As the window system describes it, in base64",
        pattern=_BASE64,
    )
    window_split: str = Field(
        default="",
        title="Pictures against pages",
        description="As moved by the user, in base64; empty: as the window chooses",
        pattern=_BASE64,
    )


PREFERENCES = Format("fitplanner-preferences", "preferences file", Preferences, version=4)
