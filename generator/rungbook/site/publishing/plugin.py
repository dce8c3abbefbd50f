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

With our own theme (`theme: rungbook`, and always in `rungbook build`) every page is written whole
into the site, below its top, and MkDocs learns that it is there; the clinic's own Markdown pages
get the same frame.
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

from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.render import NAVIGATION, framed_fragment, whole_page
from rungbook.site.publishing.assets import sitemap, theme_files
from rungbook.site.publishing.folder import SiteFolder
from rungbook.site.publishing.inside import LeavesTheSite, inside
from rungbook.site.publishing.making import MadePage, made_site

OWN_THEME = "rungbook"
GUEST_STYLES = ("styles/guest.css", "styles/content.css", "styles/drawing.css")


class RungbookOptions(Config):  # type: ignore[no-untyped-call]
    """Options in mkdocs.yml."""

    library = config_options.Type(str, default="library")
    folder = config_options.Type(str, default="exercise-library")
    draft = config_options.Type(bool, default=False)


class LibraryPage(MkDocsPage):
    """A page whose content is made already."""

    def __init__(
        self, made: MadePage, newest: datetime.date | None, file: File, config: MkDocsConfig
    ) -> None:
        page = made.page
        # Themes print titles as they are.
        super().__init__(str(escape(page.title)), file, config)
        self._made = made.html
        updated = page.updated or newest
        if updated:
            self.update_date = updated.isoformat()
        if page.description:
            self.meta = {"description": str(escape(page.description))}

    def read_source(self, config: MkDocsConfig) -> None:
        self.markdown = ""

    def render(self, config: MkDocsConfig, files: Files) -> None:
        self.content = self._made


class WrittenFile(File):
    """A file that is in its place in the site already."""

    @classmethod
    def at(cls, path: str, config: MkDocsConfig) -> WrittenFile:
        """The file at `path` of the site."""
        made = cls(path, None, config.site_dir, False, dest_uri=inside(path))
        made.generated_by = "rungbook"
        made.content_string = ""
        return made

    def copy_file(self, dirty: bool = False) -> None:
        """Nothing is left to do."""


class RungbookPlugin(BasePlugin[RungbookOptions]):  # type: ignore[no-untyped-call]
    """Three short hooks; the work is done by the page models.

    `given` is set by a program that has analysed the library already; otherwise the library
    that the options name is read for every build. `now` is the site that this one will replace.
    """

    given: Catalogue | None = None
    now: pathlib.Path | None = None

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
        catalogue = self.given or self._read(config)
        if self._own:
            # MkDocs' own know nothing of pages that it did not render. Not before: until now
            # this set keeps its templates from being copied as plain files.
            config.theme.static_templates -= {"404.html", "sitemap.xml"}
            self._write_all(catalogue, files, config)
            return files
        made = made_site(catalogue, framed_fragment)
        for item in made.pages:
            if item.page.kind != "missing":
                files.append(self._framed(item, catalogue, config))
        for path, content in made.files:
            self._add(files, config, path, content)
        for path, source in theme_files():
            path = inside(self._prefix + path)
            files.append(File.generated(config, path, abs_src_path=str(source)))
        return files

    def _write_all(self, catalogue: Catalogue, files: Files, config: MkDocsConfig) -> None:
        """Put every file into the site at once; MkDocs learns that it is there."""
        made = made_site(catalogue, whole_page, folder=SiteFolder(config.site_dir, self.now))
        for path in (*(item.page.path for item in made.pages), *(path for path, _ in made.files)):
            files.append(WrittenFile.at(path, config))
        if config.site_url:
            listed = (item.page for item in made.pages)
            self._add(files, config, "sitemap.xml", sitemap(listed, config.site_url))

    def _add(self, files: Files, config: MkDocsConfig, path: str, content: str | bytes) -> None:
        files.append(File.generated(config, inside(self._prefix + path), content=content))

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

    def _framed(self, made: MadePage, catalogue: Catalogue, config: MkDocsConfig) -> File:
        path = inside(self._prefix + made.page.path)
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
        LibraryPage(made, catalogue.newest_review, file, config)
        return file
