"""A shop whose file is gone is missed, not begun anew."""

from pathlib import Path

import pytest

from fitplanner import paths
from fitplanner.store.shop import GoneError, Shop
from tests import factories


def test_a_file_that_is_gone_is_said_to_be_and_nothing_is_begun() -> None:
    with Shop.open() as shop:
        shop.add(factories.job(), "Jo")
        assert not shop.gone
    paths.shop_file().unlink()
    for _ in range(2):
        with pytest.raises(GoneError, match="gone"):
            Shop.open()
        assert not paths.shop_file().exists()
    with Shop.open(begin=True) as shop:
        assert shop.count() == 0
    with Shop.open() as shop:
        assert shop.count() == 0


def test_a_file_that_is_put_back_is_opened() -> None:
    with Shop.open() as shop:
        shop.add(factories.job(), "Jo")
    away = paths.shop_file().rename(paths.shop_file().with_name("away"))
    with pytest.raises(GoneError):
        Shop.open()
    away.rename(paths.shop_file())
    with Shop.open() as shop:
        assert shop.count() == 1


def test_a_first_start_begins_a_shop_and_another_folder_its_own(tmp_path: Path) -> None:
    with Shop.open() as shop:
        assert shop.count() == 0
    with Shop.open(str(tmp_path / "other")) as shop:
        shop.add(factories.job(), "Jo")
    assert (tmp_path / "other" / paths.shop_file().name).is_file()


@pytest.mark.parametrize("content", ["", "nonsense", "{}", "[1, 2]"])
def test_a_damaged_list_of_shops_stands_in_nobodys_way(content: str) -> None:
    paths.known_shops_file().parent.mkdir(parents=True, exist_ok=True)
    paths.known_shops_file().write_text(content)
    with Shop.open() as shop:
        assert shop.count() == 0
    paths.shop_file().unlink()
    with pytest.raises(GoneError):
        Shop.open()


def test_a_file_taken_away_while_it_is_open_is_noticed(tmp_path: Path) -> None:
    with Shop.open(tmp_path / "shop.sqlite") as shop:
        (tmp_path / "shop.sqlite").unlink()
        assert shop.gone
