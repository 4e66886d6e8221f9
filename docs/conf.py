"""How the pages are built: `sphinx-build -W docs docs/_build`."""

import gc
import sys
import tomllib
from pathlib import Path

HERE = Path(__file__).parent
ROOT = HERE.parent
sys.path[:0] = [str(HERE / "extension"), str(ROOT)]

import lesson_pages  # noqa: E402

# A build makes much and keeps it: looked through less often, it takes a sixth less time.
gc.set_threshold(50_000, 20, 50)

project = "enginemath"
author = copyright = "the enginemath authors"
release = version = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["version"]

extensions = [
    "sphinx.ext.autodoc",
    "sphinx.ext.napoleon",
    "myst_nb",
    "mathml",
    "from_the_kit",
]
exclude_patterns = ["_build", "jupyter_execute", "**/.ipynb_checkpoints"]
lesson_pages.copy(ROOT / "lessons", HERE / "lessons")

# The lessons are shown as they were committed: nothing is run, nothing comes from the network.
nb_execution_mode = "off"
nb_ipywidgets_js = {}
nb_merge_streams = True
html_math_renderer = "mathml"
myst_enable_extensions = ["colon_fence", "deflist", "dollarmath"]
myst_heading_anchors = 3
myst_links_external_new_tab = False

# A name in single backquotes in a docstring is code.
default_role = "code"
autodoc_member_order = "bysource"
autodoc_typehints_format = "short"
napoleon_google_docstring = True
napoleon_numpy_docstring = False
nitpicky = True
nitpick_ignore_regex = [
    ("py:class", ".*")
]  # types in signatures: many are the house's own business

html_theme = "furo"
html_title = "enginemath"
html_static_path = ["style"]
html_css_files = ["pages.css"]
html_show_sphinx = False
html_copy_source = False
html_show_sourcelink = False
html_theme_options = {
    "light_css_variables": {"color-brand-primary": "#0072b2", "color-brand-content": "#0072b2"},
    "dark_css_variables": {"color-brand-primary": "#56b4e9", "color-brand-content": "#56b4e9"},
}
