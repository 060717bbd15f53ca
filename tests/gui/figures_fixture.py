"""The window with all figures of the machine, and its fields."""

from fitplanner.documents.base import Section
from fitplanner.documents.machine import MachineProfile
from fitplanner.ui.main_window import MainWindow
from fitplanner.ui.panels.figures import FiguresDialog
from fitplanner.ui.panels.section import SectionForm
from fitplanner.ui.widgets.quantity_field import QuantityField

SECTIONS = [
    key
    for key, field in MachineProfile.model_fields.items()
    if isinstance(field.annotation, type) and issubclass(field.annotation, Section)
]


def figures(window: MainWindow, section: str) -> SectionForm:
    window.show_figures()
    dialog = window.figures
    assert isinstance(dialog, FiguresDialog)
    dialog.show_section(section)
    form = dialog.form()
    assert isinstance(form, SectionForm)
    return form


def field_of(form: SectionForm, key: str, kind: type[QuantityField]) -> QuantityField:
    return next(
        one for one in form.findChildren(kind) if type(one) is kind and one.address[-1] == key
    )
