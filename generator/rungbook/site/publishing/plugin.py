"""The MkDocs plugin: adds the library's pages to a site.

In a clinic's own `mkdocs.yml`:

    plugins:
      - search
      - rungbook:
          library: library           # its folder, beside mkdocs.yml
          folder: exercise-library   # where its pages go in the site
          draft: false               # true publishes despite errors, with a banner

Then `exercise-library/index.md`, `exercise-library/exercises/<id>.md` and so on can be linked to
from any text of the site. They are MkDocs pages whose content is made here, out of the theme's
navigation, so that the theme's own search, sitemap and look take them in. Our policy against
inline script and other hosts holds for our own theme only: what a host's theme loads is its own.

With our own theme (`theme: rungbook`) every page is whole already, and MkDocs puts it in its place;
the clinic's own Markdown pages get the same frame.
"""

from __future__ import annotations

import datetime
import logging
import pathlib
import tempfile
from dataclasses import replace

from markupsafe import escape
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, CombinedEvent, event_priority
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.utils.templates import TemplateContext

from rungbook.site.data.relief import Relief
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.page import Page
from rungbook.site.pages.render import NAVIGATION, framed_fragment, whole_page
from rungbook.site.publishing.folder import SiteFolder, paths_below
from rungbook.site.publishing.inside import LeavesTheSite, inside
from rungbook.site.publishing.theme import SITEMAP, sitemap
from rungbook.site.publishing.writing import write_site

log = logging.getLogger("mkdocs.plugins.rungbook")
OWN_THEME = "rungbook"
GUEST_STYLES = (
    "styles/content.css", "styles/drawing.css", "styles/tools.css", "styles/sheet.css",
    "styles/one_page.css", "styles/guest.css",
)  # fmt: skip


class RungbookOptions(Config):  # type: ignore[no-untyped-call]
    """Options in mkdocs.yml."""

    library = config_options.Type(str, default="library")
    folder = config_options.Type(str, default="exercise-library")
    draft = config_options.Type(bool, default=False)


class LibraryPage(MkDocsPage):
    """A page whose content is made already: it lies in the file `made`."""

    def __init__(self, page: Page, made: pathlib.Path, file: File, config: MkDocsConfig) -> None:
        # Themes print titles as they are.
        self.words, self.escaped = page.title, str(escape(page.title))
        super().__init__(self.escaped, file, config)
        self._made = made
        if page.updated:
            self.update_date = page.updated.isoformat()
        if page.description:
            self.meta = {"description": str(escape(page.description))}

    def read_source(self, config: MkDocsConfig) -> None:
        self.markdown = ""

    def render(self, config: MkDocsConfig, files: Files) -> None:
        self.content = self._made.read_text("utf-8")


class RungbookPlugin(BasePlugin[RungbookOptions]):  # type: ignore[no-untyped-call]
    """Short hooks; the library's site is made as in any build, in a folder of its own."""

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self._own = config.theme.name == OWN_THEME
        folder = "" if self._own else self.config.folder.strip("/")
        self._prefix = f"{folder}/" if folder else ""
        try:
            inside(f"{self._prefix}index.html")
        except LeavesTheSite as error:
            raise PluginError(f"the plugin's option 'folder': {error}") from None
        if self._own:
            config.extra["rungbook_navigation"] = NAVIGATION
        else:
            config.extra_css.extend(self._prefix + path for path in GUEST_STYLES)
        return config

    def on_files(self, files: Files, config: MkDocsConfig) -> Files:
        catalogue = self._read(config)
        self._made = tempfile.TemporaryDirectory(prefix="rungbook-")
        root = pathlib.Path(self._made.name)
        frame = whole_page if self._own else framed_fragment
        relief = Relief(catalogue.analysed.measured)
        no_maps = write_site(catalogue, frame, SiteFolder(root), relief)
        if no_maps:
            log.warning("%s The library's pages have tables in place of maps.", no_maps)
        framed = {} if self._own else {page.path: page for page in all_pages(catalogue)}
        newest = catalogue.newest_review
        for path in paths_below(root):
            page = framed.get(path)
            if path == SITEMAP or files.get_file_from_path(path):
                continue  # the host's own, and styles and scripts of the theme
            if page is None:
                file = File.generated(config, self._prefix + path, abs_src_path=str(root / path))
                files.append(file)
            elif page.kind != "missing":
                dated = replace(page, updated=page.updated or newest)
                files.append(self._framed(dated, root / path, config))
        if self._own:
            # MkDocs' own know nothing of pages that it did not render. Not before: until now
            # this set keeps its templates from being copied as plain files.
            config.theme.static_templates -= {"404.html", "sitemap.xml"}
            if config.site_url:
                listed = sitemap(all_pages(catalogue), config.site_url)
                files.append(File.generated(config, SITEMAP, content=listed))
        return files

    def on_post_build(self, config: MkDocsConfig) -> None:
        self._made.cleanup()

    @event_priority(100)
    def _before_search(
        self, /, context: TemplateContext, page: MkDocsPage, **_: object
    ) -> TemplateContext:
        """The search index escapes what it shows: it is to get the words."""
        if isinstance(page, LibraryPage):
            page.title = page.words
        return context

    @event_priority(-100)
    def _after_search(
        self, /, context: TemplateContext, page: MkDocsPage, **_: object
    ) -> TemplateContext:
        if isinstance(page, LibraryPage):
            page.title = page.escaped
        return context

    on_page_context = CombinedEvent(_before_search, _after_search)

    def _read(self, config: MkDocsConfig) -> Catalogue:
        from rungbook.pipeline.analyse import analyse
        from rungbook.reading.read import NoLibrary

        beside = pathlib.Path(config.config_file_path or ".").parent
        root = beside / self.config.library
        try:
            analysis = analyse(root, datetime.date.today())
        except NoLibrary as error:
            raise PluginError(str(error)) from error
        if analysis.counts["error"] and not self.config.draft:
            raise PluginError(
                f"the exercise library has {analysis.counts['error']} errors: 'rungbook check "
                f"--library {root}' lists them; 'draft: true' in the plugin's options publishes "
                "despite them"
            )
        return Catalogue(analysis, draft=bool(analysis.counts["error"]))

    def _framed(self, page: Page, made: pathlib.Path, config: MkDocsConfig) -> File:
        path = self._prefix + page.path
        file = File(
            path.removesuffix(".html") + ".md",
            src_dir=None,
            dest_dir=config.site_dir,
            use_directory_urls=False,
            dest_uri=path,
            inclusion=InclusionLevel.NOT_IN_NAV,
        )
        file.generated_by = "rungbook"
        file.content_string = ""
        LibraryPage(page, made, file, config)
        return file
