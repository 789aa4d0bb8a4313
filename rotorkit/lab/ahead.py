"""What a kernel that is kept ready does before a notebook takes it over."""

from __future__ import annotations


def get_ready() -> None:
    """Load what forms need, and work one check of the demo, so that the first working of a form is its second.

    What every form needs comes first. SciPy, which one form in four needs, takes as long to load as all else that such
    a form does before it answers."""
    import contextlib
    from importlib import import_module

    with contextlib.suppress(Exception):  # a page that is the worse for it says so itself
        from rotorkit.aircraft import demo_folder
        from rotorkit.folder import Folder
        from rotorkit.notebook import form, words
        from rotorkit.pictures import draw

        assert form
        folder = Folder(demo_folder())
        outcome = folder.check("tail_rotor_angles").outcome(folder.aircraft)
        words.answer(outcome), words.findings_table(outcome), [draw(one) for one in outcome.pictures]
        for name in ("scipy.special", "scipy.optimize"):
            import_module(name)
