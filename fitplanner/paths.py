"""The only place that computes a path: the resources shipped and the user's own files.

It names files and folders; making, reading and writing them is for the rooms that use them.
"""

import os
from pathlib import Path

import platformdirs

HOME_VARIABLE = "FITPLANNER_HOME"


def resources() -> Path:
    """Folder of the files shipped with the program: profiles, springs, fonts.

    They lie inside the package where it is installed, and beside it in the source tree.

    Raises:
        FileNotFoundError: neither folder exists, so the installation is incomplete.
    """
    package = Path(__file__).resolve().parent
    places = (package / "resources", package.parent / "resources")
    for place in places:
        if place.is_dir():
            return place
    raise FileNotFoundError(f"no resources folder in {' or '.join(map(str, places))}")


def user_data_dir() -> Path:
    """Folder for the user's own files: ``$FITPLANNER_HOME``, else the platform's usual place."""
    home = os.environ.get(HOME_VARIABLE)
    if home:
        return Path(home).expanduser().absolute()
    return platformdirs.user_data_path("fitplanner", appauthor=False)


def autosave_file() -> Path:
    """File that holds the job at hand, to be found again after a crash."""
    return user_data_dir() / "autosave.json"


def profile_autosave_file() -> Path:
    """File that holds the machine profile under edit, to be found again after a crash."""
    return user_data_dir() / "machine-autosave.json"


def recent_file() -> Path:
    """File that lists the jobs opened last."""
    return user_data_dir() / "recent.json"


def rules_file() -> Path:
    """File of the shop's own assumption rules; it need not exist."""
    return user_data_dir() / "rules.json"


def shop_file() -> Path:
    """Database of the shop's jobs, where no server is set."""
    return user_data_dir() / "shop.sqlite"


def known_shops_file() -> Path:
    """File that lists the databases of jobs that were kept on this computer."""
    return user_data_dir() / "known-shops.json"


def invented_shop_file() -> Path:
    """Database of the invented shop, apart from the user's own."""
    return user_data_dir() / "invented-shop.sqlite"


def shop_profiles_dir() -> Path:
    """Folder of the shop's own machine profiles, where no other is set."""
    return user_data_dir() / "profiles"


def shop_backups_dir() -> Path:
    """Folder of the copies that the program makes by itself before it replaces the jobs."""
    return user_data_dir() / "backups"


def demo_shop_file() -> Path:
    """The invented jobs that come with the program."""
    return resources() / "shop" / "demo-shop.json"
