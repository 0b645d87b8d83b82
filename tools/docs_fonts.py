"""A hook of the documentation site: it uses the fonts of the pages, without a second copy."""

from pathlib import Path

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files

FONTS = Path(__file__).parents[1] / "src" / "rushlight" / "web" / "static" / "fonts"


def on_files(files: Files, config: MkDocsConfig) -> Files:
    """Add the fonts beside the style sheet that names them."""
    for font in sorted(FONTS.glob("*.woff2")):
        files.append(File.generated(config, f"assets/fonts/{font.name}", abs_src_path=str(font)))
    return files
