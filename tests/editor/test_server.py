"""The language server as an editor sees it: another program's client, over standard input and output."""

from __future__ import annotations

import asyncio
import builtins
import sys
from collections.abc import Awaitable, Callable
from types import ModuleType
from typing import Any

import pytest
from lsprotocol import types as lsp
from pygls.lsp.client import LanguageClient

from chartc.cli import main

URI = "file:///songs/ferry.chartc"
GOOD = "title A 🪕\nkey G\nmeter 4/4\ntempo quarter = 112\nsection verse, 2 measures\n| G | C |\n"
BAD = GOOD.replace("key G", "kay G").replace("🪕", "🪕\u200b").replace("| C |", "| Cx |")
DOCUMENT = lsp.TextDocumentIdentifier(URI)


class Editor:
    """An editor with one open text."""

    def __init__(self, client: LanguageClient) -> None:
        self.client = client
        self.said: asyncio.Queue[lsp.PublishDiagnosticsParams] = asyncio.Queue()

    async def open(self, text: str) -> list[lsp.Diagnostic]:
        """Opens a text; its findings."""
        item = lsp.TextDocumentItem(URI, "chartc", 1, text)
        self.client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
        return await self.findings()

    async def type(self, text: str) -> list[lsp.Diagnostic]:
        """Changes the text; its findings."""
        change = lsp.TextDocumentContentChangeWholeDocument(text)
        self.client.text_document_did_change(
            lsp.DidChangeTextDocumentParams(lsp.VersionedTextDocumentIdentifier(2, URI), [change])
        )
        return await self.findings()

    async def findings(self) -> list[lsp.Diagnostic]:
        """The findings that come next."""
        return list((await asyncio.wait_for(self.said.get(), 30)).diagnostics)


def edited(client: lsp.PositionEncodingKind | None, work: Callable[[Editor], Awaitable[None]]) -> None:
    """Starts the server as an editor does, lets it work, and ends it as an editor does; it must end well."""

    async def go() -> None:
        one = LanguageClient("test", "1")
        editor = Editor(one)

        untyped: Any = one
        untyped.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)(lambda params: editor.said.put_nowait(params))

        await one.start_io(sys.executable, "-m", "chartc", "edit-server")
        general = lsp.GeneralClientCapabilities(position_encodings=[client]) if client else None
        await one.initialize_async(lsp.InitializeParams(capabilities=lsp.ClientCapabilities(general=general)))
        one.initialized(lsp.InitializedParams())
        try:
            await asyncio.wait_for(work(editor), 60)
        finally:
            await one.shutdown_async(None)
            one.exit(None)
            assert await asyncio.wait_for(untyped._server.wait(), 30) == 0
            await untyped.stop()

    asyncio.run(go())


def places(found: list[lsp.Diagnostic]) -> list[tuple[object, int, int, int]]:
    """Code, line, and first and last character of each finding."""
    return [(d.code, d.range.start.line, d.range.start.character, d.range.end.character) for d in found]


@pytest.mark.parametrize(
    ("units", "column"),
    [
        (None, 10),
        (lsp.PositionEncodingKind.Utf16, 10),
        (lsp.PositionEncodingKind.Utf8, 12),
        (lsp.PositionEncodingKind.Utf32, 9),
    ],
)
def test_findings_while_writing(units: lsp.PositionEncodingKind | None, column: int) -> None:
    """Protects the writer: findings come when a text is opened and when it changes, at the right characters, however the editor
    counts; what is put right is said no more; and a closed text has none."""

    async def work(editor: Editor) -> None:
        found = await editor.open(BAD)
        wide = {10: 1, 12: 3, 9: 1}[column]
        assert places(found) == [
            ("character", 0, column, column + wide), ("line-unknown", 1, 0, 3), ("chord-unknown", 5, 6, 8),
        ]  # fmt: skip
        assert found[2].severity == lsp.DiagnosticSeverity.Error and "write C with nothing after it" in str(
            found[2].message
        )
        assert await editor.type(GOOD.replace(" 🪕", "")) == []
        found = await editor.type(GOOD.replace("G | C", "G C D | C"))
        related = found[0].related_information
        assert related is not None and related[0].location.range.start.line == 2 and related[0].location.uri == URI
        editor.client.text_document_did_close(lsp.DidCloseTextDocumentParams(DOCUMENT))
        assert await editor.findings() == []

    edited(units, work)


def test_questions() -> None:
    """Protects hover, completion, going to a section and the outline over the wire, beside an emoji too."""

    async def work(editor: Editor) -> None:
        text = GOOD.replace("| C |", "| C | ; 🪕").replace("key G", "key G\nform verse") + "words | 🪕 | a |\n"
        await editor.open(text)
        ask = editor.client
        hover = await ask.text_document_hover_async(lsp.HoverParams(DOCUMENT, lsp.Position(6, 6)))
        assert hover is not None and isinstance(hover.contents, lsp.MarkupContent)
        assert hover.contents.value == "**C**: 4 in G\n\nC E G" and hover.range == lsp.Range(
            lsp.Position(6, 6), lsp.Position(6, 7)
        )
        offers = await ask.text_document_completion_async(lsp.CompletionParams(DOCUMENT, lsp.Position(2, 5)))
        assert isinstance(offers, (list, tuple)) and [o.label for o in offers] == ["verse"]
        place = await ask.text_document_definition_async(lsp.DefinitionParams(DOCUMENT, lsp.Position(2, 7)))
        assert isinstance(place, lsp.Location) and place.range == lsp.Range(lsp.Position(5, 8), lsp.Position(5, 13))
        outline = await ask.text_document_document_symbol_async(lsp.DocumentSymbolParams(DOCUMENT))
        assert outline is not None and [s.name for s in outline] == ["verse"]
        # a chart without errors is filled, and the lick and its tablature stand beneath the chord's tones
        assert await editor.type(GOOD.replace(" 🪕", "")) == []
        hover = await ask.text_document_hover_async(lsp.HoverParams(DOCUMENT, lsp.Position(5, 6)))
        assert hover is not None and isinstance(hover.contents, lsp.MarkupContent)
        said = hover.contents.value
        assert said.startswith("**C**: 4 in G\n\nC E G\n\nverse: **") and said.count("```") == 2

    edited(None, work)


def test_tidy() -> None:
    """Protects formatting, on request and on saving: one edit makes the text tidy; a text with errors, and one that is saved by
    the editor alone, stay as they are."""

    async def work(editor: Editor) -> None:
        await editor.open(GOOD)
        ask = editor.client
        options = lsp.DocumentFormattingParams(DOCUMENT, lsp.FormattingOptions(4, True))
        edits = await ask.text_document_formatting_async(options)
        assert edits is not None and len(edits) == 1 and "| G    | C    |\n" in edits[0].new_text
        by_hand = lsp.WillSaveTextDocumentParams(DOCUMENT, lsp.TextDocumentSaveReason.Manual)
        assert await ask.text_document_will_save_wait_until_async(by_hand) == edits
        later = lsp.WillSaveTextDocumentParams(DOCUMENT, lsp.TextDocumentSaveReason.AfterDelay)
        assert not await ask.text_document_will_save_wait_until_async(later)
        await editor.type(edits[0].new_text)
        assert not await ask.text_document_formatting_async(options)
        await editor.type(BAD)
        assert not await ask.text_document_formatting_async(options)

    edited(None, work)


async def actions(editor: Editor, first: int, last: int, only: list[str] | None = None) -> list[lsp.CodeAction]:
    """The actions that are offered from one line to another."""
    where = lsp.Range(lsp.Position(first, 0), lsp.Position(last, 0))
    context = lsp.CodeActionContext([], only=only)
    got = await editor.client.text_document_code_action_async(lsp.CodeActionParams(DOCUMENT, where, context))
    return [a for a in got or [] if isinstance(a, lsp.CodeAction)]


async def new_text(editor: Editor, action: lsp.CodeAction) -> str:
    """The whole text that an action makes."""
    done = await editor.client.code_action_resolve_async(action)
    assert done.edit is not None and done.edit.changes is not None
    (edit,) = done.edit.changes[URI]
    return edit.new_text


def test_actions() -> None:
    """Protects the light bulb: the fix of a finding, all fixes at once, another key from the key's line, degrees and letters
    from a row; and an editor that asks for one kind gets that kind only."""

    async def work(editor: Editor) -> None:
        await editor.open(BAD)
        (fix, every) = await actions(editor, 0, 0)
        assert fix.kind == lsp.CodeActionKind.QuickFix and fix.edit is not None and fix.edit.changes is not None
        assert list(fix.edit.changes[URI]) == [lsp.TextEdit(lsp.Range(lsp.Position(0, 10), lsp.Position(0, 11)), "")]
        assert await new_text(editor, every) == BAD.replace("\u200b", "")
        assert [a.kind for a in await actions(editor, 0, 0, ["source"])] == [lsp.CodeActionKind.SourceFixAll]
        await editor.type(GOOD)
        keys = await actions(editor, 1, 1)
        assert len(keys) == 11 and all(a.kind == lsp.CodeActionKind.RefactorRewrite for a in keys)
        flat = next(a for a in keys if a.title == "Write this chart in B♭")
        assert "key      Bb\n" in await new_text(editor, flat) and "| Bb   | Eb   |" in await new_text(editor, flat)
        degrees, letters = await actions(editor, 5, 5)
        assert "| 1    | 4    |" in await new_text(editor, degrees) and "| G    | C    |" in await new_text(
            editor, letters
        )
        assert not await actions(editor, 5, 5, ["quickfix"])

    edited(None, work)


def test_without_the_extra(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Protects whoever has not installed the extra: one line says what to install, exit 2."""
    real = builtins.__import__

    def without(name: str, *rest: Any) -> ModuleType:
        if name.split(".")[0] == "pygls":
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    monkeypatch.delitem(sys.modules, "chartc.editor.server", raising=False)
    assert main(["edit-server"]) == 2
    assert 'pip install "chartc[editor]"' in capsys.readouterr().err
