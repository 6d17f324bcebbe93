"""Papers as files: named by the hash of their content in the data folder, or by readable names for a person."""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec
from django.conf import settings

from shop.adapter import DomainError
from shop.adapter.plan_parts import BadPlanFile, Plan, plan_from_json
from shop.formatting import Units
from shop.models import BoxPlan, Document, DocumentKind
from shop.papers.context import PaperContext, context_from_plan
from shop.papers.render import print_paper
from shop.services.files import write_whole

if TYPE_CHECKING:
    from shop.papers.pdf import Print

ALL_PAPERS = "all-papers"
READABLE = {
    DocumentKind.SLIP.value: "packing-slip",
    DocumentKind.INSERT.value: "insert-cut-plan",
    DocumentKind.BOX.value: "box-cut-plan",
}


class NoPlan(DomainError):
    """Papers were asked for a plan that holds no answer."""


def render_all(
    plan: BoxPlan, *, page_size: str | None = None, kinds: Iterable[str] = tuple(READABLE)
) -> list[Document]:
    """Print the papers of a stored plan into the data folder.

    Parameters
    ----------
    plan
        With status "planned".
    page_size
        "A4" or "Letter"; the shop's own when left out.
    kinds
        Which papers; all of them when left out.

    Returns
    -------
    list of Document
        One a paper, in the order they are used. The same bytes are the same file and the same row.

    Raises
    ------
    NoPlan
        The plan is not a planned one.
    """
    answer = read_plan(plan)
    context = context_from_plan(plan, page_size=page_size)
    return [_file(plan, kind, context, print_paper(kind, answer, context)) for kind in kinds]


def render_papers_files(plan: Plan, context: PaperContext, out_dir: Path) -> list[Path]:
    """Print all papers of a plan into a folder, each by itself and all in one, without a database.

    Parameters
    ----------
    plan
        What the library answered.
    context
        What the plan does not know.
    out_dir
        Made if it is not there.

    Returns
    -------
    list of Path
        Such as ``order-17-packing-slip.pdf``; of the order's number only letters, figures and hyphens are taken.
    """
    out_dir.mkdir(parents=True, exist_ok=True)
    order = re.sub(r"[^A-Za-z0-9-]+", "-", context.order_number).strip("-") or "x"
    paths = []
    made = [print_paper(kind, plan, context).pdf for kind in READABLE]
    for name, pdf in [*zip(READABLE.values(), made, strict=True), (ALL_PAPERS, joined(made))]:
        path = out_dir / f"order-{order}-{name}.pdf"
        write_whole(path, pdf)
        paths.append(path)
    return paths


def made_from(kind: str, context: PaperContext) -> str:
    """Hash of what a paper was made from: the plan, and whatever else it says.

    Whom the box is for stands on the packing slip alone; the cut plans hold whoever it is for.
    """
    if kind != DocumentKind.SLIP:
        context = replace(context, customer_name="", customer_address=(), reader=Units())
    if kind == DocumentKind.SLIP:
        # Nothing on the slip is in full size, so what a printer stretches by does not make it another paper.
        context = replace(context, stretch=1.0)
    # What a parcel is cut together with changes its papers; one cut alone has the hash that it always had.
    together = () if kind == DocumentKind.SLIP else context.cut_with
    return hashlib.sha256(repr((str(kind), context, *together)).encode()).hexdigest()


def read_plan(plan: BoxPlan) -> Plan:
    """The plan of a stored row; raises NoPlan where the row holds none."""
    try:
        return plan_from_json(plan.content)
    except BadPlanFile as fault:
        raise NoPlan(f"Papers need a plan. {fault}") from fault


def _file(plan: BoxPlan, kind: str, context: PaperContext, made: Print) -> Document:
    sha256 = hashlib.sha256(made.pdf).hexdigest()
    folder = Path(settings.PAPERS_DIR)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    path = folder / f"{sha256}.pdf"
    if not path.exists():
        write_whole(path, made.pdf)  # before its row: a row says that there is a paper to be had
    document, _ = Document.objects.get_or_create(
        plan=plan,
        kind=kind,
        page_size=context.page_size,
        sha256=sha256,
        defaults={
            "made_from_hash": made_from(kind, context),
            "pages": made.sheets,
            "shop": plan.shop,
            "context": msgspec.to_builtins(context),
        },
    )
    return document


def in_one(documents: Iterable[Document]) -> bytes:
    """The sheets of several papers as one PDF, in the order given.

    Parameters
    ----------
    documents
        Whose files are there.
    """
    return joined(document.path.read_bytes() for document in documents)


def joined(papers: Iterable[bytes]) -> bytes:
    """Several PDFs as one, in the order given; the document's title and the rest are those of the first."""
    from pypdf import PdfReader, PdfWriter  # noqa: PLC0415 -- only who asks for all papers at once needs it

    writer, first = PdfWriter(), None
    for paper in papers:
        reader = PdfReader(io.BytesIO(paper))
        first = first or reader.metadata
        writer.append(reader)
    if first is not None:
        writer.add_metadata({name: str(value) for name, value in first.items()})
    held = io.BytesIO()
    writer.write(held)
    return held.getvalue()


def make_again(document: Document) -> bool:
    """Print a paper whose file is gone anew, from its plan and what it said; False where it does not come out the same.

    The same code and fonts give the same bytes. Another version may not; then nothing is written, for a file is named
    by what is in it.
    """
    if not document.context:
        return False
    context = msgspec.convert(document.context, PaperContext)
    made = print_paper(document.kind, read_plan(document.plan), context)
    if hashlib.sha256(made.pdf).hexdigest() != document.sha256:
        return False
    Path(settings.PAPERS_DIR).mkdir(mode=0o700, parents=True, exist_ok=True)
    write_whole(document.path, made.pdf)
    return True
