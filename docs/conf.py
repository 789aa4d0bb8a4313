"""How the site is built (Sphinx). `docs/build.py` calls it, after it has written the pages of the code."""

import rotorkit

project = "rotorkit"
author = "the rotorkit authors"
copyright = "the rotorkit authors"
version = release = rotorkit.__version__
language = "en"
smartquotes = False

extensions = ["myst_parser"]
myst_heading_anchors = 3
exclude_patterns = ["generated/*"]
myst_enable_extensions = ["deflist"]
python_use_unqualified_type_names = True
add_module_names = False
toc_object_entries_show_parents = "hide"
maximum_signature_line_length = 88

html_theme = "furo"
html_title = f"rotorkit {version}"
html_static_path = ["static"]
html_css_files = ["site.css"]
html_copy_source = html_show_sourcelink = False
html_last_updated_fmt = None
