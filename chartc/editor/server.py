"""The language server: what an editor asks, answered from the text that is open. It needs the extra `editor` (pygls)."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer

from chartc import __version__
from chartc.book.compile import read_song, vocabulary
from chartc.chart.read import read_chart
from chartc.chart.tidy import Chords, UntidyError, tidy
from chartc.editor.answers import Answers, Offer
from chartc.editor.chosen import chosen
from chartc.editor.places import Units, character, column
from chartc.player import Player
from chartc.text.diagnostic import Diagnostic, Edit
from chartc.text.edit import mend
from chartc.text.reading import MAX_BYTES
from chartc.text.source import Source, Span
from chartc.theory.key import Key, all_keys, parse_key

MOST = 200
"""Findings that are sent for one text."""

_KINDS = {
    "keyword": lsp.CompletionItemKind.Keyword,
    "section": lsp.CompletionItemKind.Class,
    "lick": lsp.CompletionItemKind.Snippet,
    "role": lsp.CompletionItemKind.EnumMember,
    "chord": lsp.CompletionItemKind.Constant,
}


class ChartServer(LanguageServer):
    """A server for charts, with one player's licks."""

    def __init__(self, player: Player) -> None:
        """Knows the player, and no text yet."""
        # whole texts: charts are short, and only we know where their lines end
        super().__init__("chartc", __version__, text_document_sync_kind=lsp.TextDocumentSyncKind.Full)
        self.player = player
        self.words = vocabulary(player)
        self._chosen: tuple[str, dict[tuple[int, int], str]] = ("", {})

    def chosen(self, source: Source) -> dict[tuple[int, int], str]:
        """What is chosen over each chord of a text; remembered for the last text that was asked about."""
        if self._chosen[0] != source.text:
            self._chosen = (source.text, chosen(source, self.player))
        return self._chosen[1]

    # --- places ----------------------------------------------------------------------------------------------------------

    @property
    def units(self) -> Units:
        """How the editor counts within a line."""
        encoding = self.workspace.position_encoding
        kind = str(getattr(encoding, "value", encoding))
        return "utf-8" if kind == "utf-8" else "utf-32" if kind == "utf-32" else "utf-16"

    def text(self, uri: str) -> Source:
        """The text that is open in the editor."""
        return Source(uri, self.workspace.get_text_document(uri).source)

    def range(self, span: Span) -> lsp.Range:
        """A place as the editor counts it."""
        line = span.source.line(span.line)
        start, end = (character(line, n, self.units) for n in (span.column, span.end))
        return lsp.Range(lsp.Position(span.line - 1, start), lsp.Position(span.line - 1, end))

    def place(self, source: Source, position: lsp.Position) -> tuple[int, int]:
        """Line and column of the editor's position."""
        line = source.line(position.line + 1)
        return position.line + 1, column(line, position.character, self.units)

    def edits(self, edits: tuple[Edit, ...]) -> list[lsp.TextEdit]:
        """Edits as the editor makes them."""
        return [lsp.TextEdit(self.range(span), text) for span, text in edits]

    def whole(self, source: Source, text: str) -> list[lsp.TextEdit]:
        """The edit that puts a text in the place of all that is there; none where nothing changes."""
        if text == source.text:
            return []
        end = lsp.Position(len(source.lines) + 1, 0)
        return [lsp.TextEdit(lsp.Range(lsp.Position(0, 0), end), text)]

    # --- answers ---------------------------------------------------------------------------------------------------------

    def findings(self, source: Source) -> tuple[Diagnostic, ...]:
        """What is wrong with a text."""
        if len(source.text) > MAX_BYTES:
            return (Diagnostic("file-size", "the file is too large for a chart", source.span(1, 1, 2)),)
        return read_song(source, self.player)[1]

    def said(self, source: Source, d: Diagnostic) -> lsp.Diagnostic:
        """A finding as the editor shows it."""
        span = d.span or source.span(1, 1, 1)
        related = [
            lsp.DiagnosticRelatedInformation(lsp.Location(source.name, self.range(s)), words) for s, words in d.related
        ]
        severity = lsp.DiagnosticSeverity.Error if d.severity == "error" else lsp.DiagnosticSeverity.Warning
        message = f"{d.message}\n{d.help}" if d.help else d.message
        return lsp.Diagnostic(self.range(span), message, severity, d.code, source="chartc", related_information=related)

    def publish(self, uri: str, version: int | None = None) -> None:
        """Sends the findings of a text."""
        source = self.text(uri)
        found = [self.said(source, d) for d in self.findings(source)[:MOST]]
        self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, found, version))

    def tidied(self, source: Source, key: Key | None = None, chords: Chords = "as they are") -> list[lsp.TextEdit]:
        """The edit that makes a text tidy; none where it has errors."""
        if len(source.text) > MAX_BYTES:
            return []
        try:
            text, _ = tidy(source, self.words, key, chords)
        except UntidyError:
            return []
        return [] if text is None else self.whole(source, text)


def serve(player: Player) -> ChartServer:
    """A server that knows its answers; `start_io` runs it."""
    server = ChartServer(player)
    _texts(server)
    _questions(server)
    _actions(server)
    return server


def _texts(server: ChartServer) -> None:
    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def opened(params: lsp.DidOpenTextDocumentParams) -> None:
        server.publish(params.text_document.uri, params.text_document.version)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def changed(params: lsp.DidChangeTextDocumentParams) -> None:
        server.publish(params.text_document.uri, params.text_document.version)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def closed(params: lsp.DidCloseTextDocumentParams) -> None:
        server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(params.text_document.uri, []))

    @server.feature(lsp.TEXT_DOCUMENT_FORMATTING)
    def formatting(params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit]:
        return server.tidied(server.text(params.text_document.uri))

    @server.feature(lsp.TEXT_DOCUMENT_WILL_SAVE_WAIT_UNTIL)
    def saving(params: lsp.WillSaveTextDocumentParams) -> list[lsp.TextEdit]:
        # a text saved because the writer pauses is left as it is: the cursor may stand in it
        if params.reason != lsp.TextDocumentSaveReason.Manual:
            return []
        return server.tidied(server.text(params.text_document.uri))


def _questions(server: ChartServer) -> None:
    def asked(params: Any) -> tuple[Source, Answers, tuple[int, int]]:
        source = server.text(params.text_document.uri)
        return (
            source,
            Answers(source, server.player.means.library, lambda: server.chosen(source)),
            server.place(source, params.position),
        )

    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    def hover(params: lsp.HoverParams) -> lsp.Hover | None:
        _, answers, place = asked(params)
        got = answers.hover(*place)
        if got is None:
            return None
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, got[0]), server.range(got[1]))

    @server.feature(
        lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=[" ", "|", ","], resolve_provider=False)
    )
    def completion(params: lsp.CompletionParams) -> list[lsp.CompletionItem]:
        _, answers, place = asked(params)
        return [_item(offer) for offer in answers.offers(*place)]

    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def definition(params: lsp.DefinitionParams) -> lsp.Location | None:
        source, answers, place = asked(params)
        got = answers.definition(*place)
        return None if got is None else lsp.Location(source.name, server.range(got))

    @server.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def outline(params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol]:
        source = server.text(params.text_document.uri)
        out = []
        for heading in Answers(source, server.player.means.library, lambda: server.chosen(source)).headings():
            name = server.range(heading.place)
            end = server.range(source.span(heading.last)).end
            whole = lsp.Range(lsp.Position(name.start.line, 0), max(name.end, end))
            out.append(lsp.DocumentSymbol(heading.name, lsp.SymbolKind.Class, whole, name))
        return out


def _item(offer: Offer) -> lsp.CompletionItem:
    kind = _KINDS.get(offer.kind, lsp.CompletionItemKind.Value)
    return lsp.CompletionItem(offer.text, kind=kind, detail=offer.about or offer.kind)


_FIX, _ALL = lsp.CodeActionKind.QuickFix, lsp.CodeActionKind.SourceFixAll
_REWRITE = lsp.CodeActionKind.RefactorRewrite


def _actions(server: ChartServer) -> None:
    @server.feature(
        lsp.TEXT_DOCUMENT_CODE_ACTION,
        lsp.CodeActionOptions(code_action_kinds=[_FIX, _ALL, _REWRITE], resolve_provider=True),
    )
    def actions(params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        uri = params.text_document.uri
        source = server.text(uri)
        first, last = params.range.start.line + 1, params.range.end.line + 1
        out = []
        found = server.findings(source)
        for d in found:
            if d.span is not None and d.fix and first <= d.span.line <= last:
                edit = lsp.WorkspaceEdit({uri: server.edits(d.fix)})
                title = f"Put right: {d.message}"
                out.append(lsp.CodeAction(title, _FIX, [server.said(source, d)], edit=edit, is_preferred=True))
        if any(d.fix for d in found):
            data = {"uri": uri, "what": "mend"}
            out.append(lsp.CodeAction("Put right all that is certain", _ALL, data=data))
        out += _rewrites(server, source, first, last)
        return [a for a in out if _wanted(a, params.context.only)]

    @server.feature(lsp.CODE_ACTION_RESOLVE)
    def resolve(action: lsp.CodeAction) -> lsp.CodeAction:
        data: Any = action.data
        if not isinstance(data, dict) or not isinstance(data.get("uri"), str):
            return action
        source = server.text(data["uri"])
        make: dict[str, Callable[[], list[lsp.TextEdit]]] = {
            "mend": lambda: server.whole(source, mend(source, server.findings).source.text),
            "degrees": lambda: server.tidied(source, None, "degrees"),
            "letters": lambda: server.tidied(source, None, "letters"),
            "key": lambda: server.tidied(source, parse_key(str(data.get("key")))),
        }
        made = make.get(str(data.get("what")))
        if made is not None:
            action.edit = lsp.WorkspaceEdit({data["uri"]: made()})
        return action


def _rewrites(server: ChartServer, source: Source, first: int, last: int) -> list[lsp.CodeAction]:
    """The ways in which a chart without errors can be rewritten: in another key from its key's line, with other chord words from
    its rows. Their edits are made when one of them is chosen."""
    words = [line.split(maxsplit=1)[0][:4] for n in range(first, last + 1) if (line := source.line(n).strip())]
    out = []
    if "key" in words:
        song, _ = read_chart(source, server.words)
        for key in all_keys(song.key.mode) if song is not None else ():
            if song is not None and key != song.key:
                data = {"uri": source.name, "what": "key", "key": key.plain}
                out.append(lsp.CodeAction(f"Write this chart in {key.label}", _REWRITE, data=data))
    if any(word.startswith("|") for word in words):
        for what in ("degrees", "letters"):
            about = {"degrees": "Write chords as degrees", "letters": "Write chords by letter"}[what]
            out.append(lsp.CodeAction(about, _REWRITE, data={"uri": source.name, "what": what}))
    return out


def _wanted(action: lsp.CodeAction, only: object) -> bool:
    """Whether an editor that asks for some kinds of action means this one: a kind means all that begin with it."""
    if not isinstance(only, (list, tuple)) or not only:
        return True
    kind = str(getattr(action.kind, "value", action.kind))
    return any(kind == str(getattr(o, "value", o)) or kind.startswith(f"{getattr(o, 'value', o)}.") for o in only)
