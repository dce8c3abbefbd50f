"""The MkDocs plugin: adds the library's pages to a site.

With our own theme every page is written whole and MkDocs has only to put it in its place.
With any other theme the pages are MkDocs pages whose content is made here, out of the theme's
navigation, so that the theme's own search, sitemap and look take them in.
"""

from __future__ import annotations

import datetime
import pathlib

from markupsafe import escape
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage

from rungbook.site.catalogue import Catalogue
from rungbook.site.contents import all_pages
from rungbook.site.page import Page
from rungbook.site.render import fragment, whole_page

OWN_THEME = "rungbook"
STYLES = ("styles/content.css", "styles/drawing.css")


class RungbookOptions(Config):  # type: ignore[no-untyped-call]
    """Options in mkdocs.yml."""

    library = config_options.Type(str, default="library")
    folder = config_options.Type(str, default="exercise-library")
    draft = config_options.Type(bool, default=False)


class LibraryPage(MkDocsPage):
    """A page whose content is made already."""

    def __init__(self, page: Page, catalogue: Catalogue, file: File, config: MkDocsConfig) -> None:
        # Themes print titles as they are.
        super().__init__(str(escape(page.title)), file, config)
        self._made = str(fragment(page, catalogue))
        newest = page.updated or catalogue.newest_review
        if newest:
            self.update_date = newest.isoformat()
        if page.description:
            self.meta = {"description": str(escape(page.description))}

    def read_source(self, config: MkDocsConfig) -> None:
        self.markdown = ""

    def render(self, config: MkDocsConfig, files: Files) -> None:
        self.content = self._made


class RungbookPlugin(BasePlugin[RungbookOptions]):
    """Four short hooks; the work is done by the page models."""

    catalogue: Catalogue | None = None  # given by `publish`, else read in `on_pre_build`

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self._own = config.theme.name == OWN_THEME
        self._folder = "" if self._own else self.config.folder.strip("/")
        if not self._own:
            prefix = f"{self._folder}/" if self._folder else ""
            config.extra_css.extend(f"{prefix}{path}" for path in STYLES)
        return config

    def on_pre_build(self, config: MkDocsConfig) -> None:
        if self._given:
            return
        from rungbook.pipeline.analyse import analyse
        from rungbook.reading.read import NoLibrary

        beside = pathlib.Path(config.config_file_path or ".").parent
        try:
            analysis = analyse(beside / self.config.library, datetime.date.today())
        except NoLibrary as error:
            raise PluginError(str(error)) from error
        if analysis.counts["error"] and not self.config.draft:
            raise PluginError(
                f"the exercise library has {analysis.counts['error']} errors: see "
                f"'rungbook check --library {self.config.library}', or set 'draft: true'"
            )
        self.catalogue = Catalogue(analysis, self.config.draft)

    @property
    def _given(self) -> bool:
        return "catalogue" in self.__dict__

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        assert self.catalogue is not None
        for page in all_pages(self.catalogue):
            if self._own:
                files.append(_whole(page, self.catalogue, config))
            elif page.kind != "missing":
                files.append(self._framed(page, self.catalogue, config))
        for path, content in site_files(self.catalogue):
            prefix = f"{self._folder}/" if self._folder else ""
            files.append(File.generated(config, prefix + path, content=content))
        return files

    def _framed(self, page: Page, catalogue: Catalogue, config: MkDocsConfig) -> File:
        path = f"{self._folder}/{page.path}" if self._folder else page.path
        file = File(
            path.removesuffix(".html") + ".md",
            src_dir=None,
            dest_dir=config.site_dir,
            use_directory_urls=False,
            dest_uri=path,
            inclusion=InclusionLevel.NOT_IN_NAV,
        )
        file.generated_by = "rungbook"
        file._content = ""
        LibraryPage(page, catalogue, file, config)
        return file


def _whole(page: Page, catalogue: Catalogue, config: MkDocsConfig) -> File:
    return File.generated(config, page.path, content=whole_page(page, catalogue))


def site_files(catalogue: Catalogue) -> tuple[tuple[str, bytes], ...]:
    """Files that are not pages: pictures."""
    return ()
