"""The public catalogue. Made from listings and pictures only, which hold nothing private."""

from __future__ import annotations

from functools import partial
from itertools import chain

from catalog_builder.publish.catalogue import feed, manifest
from catalog_builder.publish.catalogue.addresses import drawn_name
from catalog_builder.publish.catalogue.descriptors import sitemap
from catalog_builder.publish.catalogue.link_card import write_link_cards
from catalog_builder.publish.catalogue.listing_view import CatalogueContent
from catalog_builder.publish.catalogue.sending.edition import Edition, sent_name
from catalog_builder.publish.catalogue.site_pages import LOST, SitePages
from catalog_builder.publish.output.folder import Folder
from catalog_builder.publish.output.unwritten_folder import UnwrittenFolder
from catalog_builder.publish.pictures.gallery import Pictures

ENDINGS = {"jpeg": "jpg", "webp": "webp"}


def write_catalogue(content: CatalogueContent, edition: Edition, folder: Folder) -> int:
    """Write every page, picture and asset of the catalogue and the edition to send, and give the count of pages."""
    for slug in sorted(content.pictures):
        _write_pictures(folder, slug, content.pictures[slug])
    pages = SitePages(content)
    paths = pages.write(folder)
    app = manifest.web_manifest(content.studio, content.theme)
    for name, data in content.theme.assets(chain([app], map(folder.text, paths))):
        if not name.startswith(("assets/bench", "assets/stall", "assets/one_file")):
            folder.write(name, data)
    for ending, document in (("html", edition.one_file), ("pdf", edition.look_book)):
        folder.make(sent_name(content.studio.name, ending), document.key, document.make)
    write_link_cards(content, pages.views, folder)
    addresses = pages.addresses
    listed = [
        (addresses.page(path), addresses.changed(path))
        for path in sorted(paths)
        if path not in (LOST, *pages.former_paths)
    ]
    folder.write("sitemap.xml", sitemap(listed))
    language = content.studio.language
    folder.write(
        feed.NAME,
        feed.atom_feed(pages.studio, addresses.page("index.html"), language, addresses.entries()),
    )
    folder.write(manifest.NAME, app)
    folder.write("robots.txt", f"User-agent: *\nAllow: /\nSitemap: {content.studio.address}sitemap.xml\n")
    return len(paths)


def early_files(content: CatalogueContent, path: str) -> UnwrittenFolder:
    """Give a page with its pictures and the theme's files, before the rest of the catalogue is made."""
    files, shown = UnwrittenFolder(), path.removeprefix("products/").removesuffix(".html")
    for slug in [shown] if shown in content.pictures else content.pictures:
        _write_pictures(files, slug, content.pictures[slug])
    SitePages(content).write(files, path)
    for name, data in content.theme.assets():
        files.write(name, data)
    return files


def _write_pictures(folder: Folder, slug: str, pictures: Pictures) -> None:
    if pictures.with_drawing:
        folder.make(f"pictures/{slug}.svg", pictures.key, lambda: pictures.drawn)
    if not pictures.leading:
        # Machines that show a product want pixels.
        folder.make(f"pictures/{drawn_name(slug)}", pictures.key, lambda: pictures.preview)
    for shot in pictures.shots:
        for size in shot.prints.renditions:
            for kind, ending in ENDINGS.items():
                folder.put(f"pictures/{shot.name}-{size.width}.{ending}", size.digests[kind], partial(size.data, kind))
