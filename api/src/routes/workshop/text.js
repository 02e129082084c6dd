// The text of the pack's files, in one editor: each file with its own history and its own mistakes.
import {
  EditorState, EditorView, HighlightStyle, StreamLanguage, defaultKeymap, drawSelection, highlightActiveLine,
  highlightActiveLineGutter, highlightSelectionMatches, history, historyKeymap, keymap, lineNumbers, lintGutter, lintKeymap,
  search, searchKeymap, setDiagnostics, syntaxHighlighting, tags, toml,
} from "/workshop/vendor.js";

// Weight and slant say what is what; colours are the page's own.
const look = HighlightStyle.define([
  { tag: [tags.atom, tags.heading], fontWeight: "bold" },
  { tag: tags.comment, color: "var(--pale-ink)", fontStyle: "italic" },
  { tag: [tags.string, tags.number, tags.bool], color: "var(--strong)" },
]);

const theme = EditorView.theme({
  "&": { height: "100%", backgroundColor: "var(--slip)", color: "var(--ink)", fontSize: ".9rem" },
  "&.cm-focused": { outline: "3px solid var(--strong)", outlineOffset: "-1px" },
  ".cm-scroller": { fontFamily: "ui-monospace, monospace", lineHeight: "1.5", overflowX: "hidden" },
  ".cm-content": { caretColor: "var(--ink)", padding: ".4rem 0" },
  ".cm-cursor": { borderLeftColor: "var(--ink)" },
  ".cm-gutters": { backgroundColor: "var(--paper)", color: "var(--pale-ink)", borderRight: "3px double var(--alarm)" },
  ".cm-activeLineGutter": { backgroundColor: "var(--paper)", color: "var(--ink)", fontWeight: "bold" },
  ".cm-activeLine": { backgroundColor: "transparent", boxShadow: "inset 0 -1px var(--rule), inset 0 1px var(--rule)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": { backgroundColor: "var(--rule)" },
  ".cm-selectionMatch, .cm-searchMatch, .cm-searchMatch.cm-searchMatch-selected": { backgroundColor: "transparent", outline: "1px solid var(--faint)" },
  ".cm-lintRange": { backgroundImage: "none", paddingBottom: "0" },
  ".cm-lintRange-error": { backgroundImage: "none", textDecoration: "underline wavy var(--alarm) 2px", textUnderlineOffset: "3px" },
  ".cm-lintRange-warning": { backgroundImage: "none", textDecoration: "underline dotted var(--faint) 3px", textUnderlineOffset: "3px" },
  ".cm-lintRange-active": { backgroundColor: "transparent" },
  ".cm-lintPoint:after": { borderBottomColor: "var(--alarm)" },
  ".cm-lint-marker": { width: ".9em", height: "1.2em" },
  ".cm-lint-marker-error": { content: "normal" },
  ".cm-lint-marker-warning": { content: "normal" },
  ".cm-lint-marker-error::before": { content: "'✗'", color: "var(--alarm)", fontWeight: "bold" },
  ".cm-lint-marker-warning::before": { content: "'!'", color: "var(--faint)", fontWeight: "bold" },
  ".cm-tooltip": { backgroundColor: "var(--paper)", color: "var(--ink)", border: "1px solid var(--ink)", maxWidth: "min(30rem, 90vw)" },
  ".cm-diagnostic": { fontFamily: "system-ui, sans-serif", padding: ".4rem .6rem", whiteSpace: "pre-wrap" },
  ".cm-diagnostic-error": { borderLeft: "4px solid var(--alarm)" },
  ".cm-diagnostic-warning": { borderLeft: "4px solid var(--faint)" },
  ".cm-diagnosticAction": { font: "inherit", minHeight: "2.6rem", padding: ".2rem .6rem", borderRadius: "0", backgroundColor: "var(--strong)", color: "var(--paper)" },
  ".cm-panels": { backgroundColor: "var(--paper)", color: "var(--ink)" },
  ".cm-panels.cm-panels-bottom": { borderTop: "1px solid var(--ink)" },
  ".cm-panel.cm-search": { fontFamily: "system-ui, sans-serif", fontSize: "1rem" },
  ".cm-textfield": { backgroundColor: "var(--slip)", color: "var(--ink)", border: "1px solid var(--pale-ink)", fontSize: "1rem" },
  ".cm-button": { backgroundImage: "none", backgroundColor: "var(--slip)", color: "var(--strong)", border: "1px solid var(--strong)", borderRadius: "0", fontSize: "1rem", minHeight: "2.6rem" },
  ".cm-panel.cm-search [name=close]": { color: "var(--ink)", minWidth: "2.6rem", minHeight: "2.6rem" },
});

// Where a mistake is: the service counts lines and characters from 1, an editor units of UTF-16 from 0.
function place(doc, fault) {
  const line = doc.line(Math.min(Math.max(fault.line, 1), doc.lines));
  const before = Array.from(line.text).slice(0, Math.max(fault.column - 1, 0)).join("").length;
  const from = line.from + before;
  let to = doc.sliceString(from, from + fault.words.length) === fault.words ? from + fault.words.length : line.to;
  // Words over many lines are shown by the first of them.
  to = Math.min(to, line.to);
  if (to > from) return { from, to };
  // Something that is missing is shown by what stands before it.
  return { from: Math.max(line.from, from - 1), to: Math.max(from, Math.min(line.from + 1, line.to)) };
}

// What stands in place of the words at fault where the service says so and it is one thing.
export function mended(fault) {
  const said = fault.suggestion?.match(/^did you mean ("(?:[^"\\]|\\.)*"|`[^`]*`)\?$/)?.[1];
  if (!said || !fault.words) return undefined;
  return fault.words.startsWith("\"") ? JSON.stringify(said.slice(1, -1)) : said.slice(1, -1);
}

export class Text {
  // `changed(file)` is called for every change, `moved(file, offset)` when somebody moves in the text.
  constructor(where, { changed, moved }) {
    this.states = new Map();
    this.shown = undefined;
    this.changed = changed;
    this.moved = moved;
    const heard = EditorView.updateListener.of((update) => {
      if (update.docChanged) this.changed(this.shown);
      if (update.selectionSet && update.view.hasFocus) this.moved(this.shown, update.state.selection.main.head);
    });
    this.extensions = [
      lineNumbers(), lintGutter(), history(), drawSelection(), highlightActiveLine(), highlightActiveLineGutter(),
      highlightSelectionMatches(), search(), EditorView.lineWrapping, StreamLanguage.define(toml), syntaxHighlighting(look), theme,
      keymap.of([...lintKeymap, ...searchKeymap, ...historyKeymap, ...defaultKeymap]), heard,
    ];
    // In a tree of its own the editor's style sheets are made by script, which the page's policy allows; written ones it forbids.
    const root = where.attachShadow({ mode: "open" });
    this.view = new EditorView({ parent: root, root });
  }

  open(files) {
    this.states.clear();
    this.shown = undefined;
    for (const { name, text } of files) this.add(name, text);
  }

  add(name, text) {
    const label = EditorView.contentAttributes.of({ "aria-label": `Text of ${name}`, spellcheck: "false", tabindex: "0" });
    this.states.set(name, EditorState.create({ doc: text, extensions: [this.extensions, label] }));
  }

  show(name) {
    if (name === this.shown || !this.states.has(name)) return;
    if (this.shown !== undefined) this.states.set(this.shown, this.view.state);
    this.shown = name;
    this.view.setState(this.states.get(name));
  }

  state(name) {
    return name === this.shown ? this.view.state : this.states.get(name);
  }

  text(name) {
    return this.state(name).doc.toString();
  }

  edit(name, changes) {
    if (name === this.shown) this.view.dispatch({ changes, userEvent: "input" });
    else {
      this.states.set(name, this.states.get(name).update({ changes, userEvent: "input" }).state);
      this.changed(name);
    }
  }

  // The place in the middle of the window, without taking the keys from where they are.
  reveal(name, offset, focus = false) {
    this.show(name);
    const at = Math.min(offset, this.view.state.doc.length);
    this.view.dispatch({ selection: { anchor: at }, effects: EditorView.scrollIntoView(at, { y: "center" }) });
    if (focus) this.view.focus();
  }

  offset(name, fault) {
    return place(this.state(name).doc, fault).from;
  }

  mark(faults) {
    for (const name of this.states.keys()) {
      const doc = this.state(name).doc;
      const found = faults.filter((fault) => fault.file === name).map((fault) => {
        const instead = mended(fault);
        const actions = instead ? [{ name: `Write ${instead}`, apply: (_, from, to) => this.edit(name, { from, to, insert: instead }) }] : [];
        const message = [fault.message, fault.suggestion].filter(Boolean).join("\n");
        return { ...place(doc, fault), severity: fault.warning ? "warning" : "error", message, actions };
      });
      const marks = setDiagnostics(this.state(name), found);
      if (name === this.shown) this.view.dispatch(marks);
      else this.states.set(name, this.states.get(name).update(marks).state);
    }
  }
}
