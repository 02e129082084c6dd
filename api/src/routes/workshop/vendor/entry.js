// What the workshop takes from its libraries; `build` makes vendor.js of it.
export { defaultKeymap, history, historyKeymap } from "@codemirror/commands";
export { HighlightStyle, StreamLanguage, syntaxHighlighting } from "@codemirror/language";
export { toml } from "@codemirror/legacy-modes/mode/toml";
export { lintGutter, lintKeymap, setDiagnostics } from "@codemirror/lint";
export { highlightSelectionMatches, search, searchKeymap } from "@codemirror/search";
export { EditorState } from "@codemirror/state";
export { EditorView, drawSelection, highlightActiveLine, highlightActiveLineGutter, keymap, lineNumbers } from "@codemirror/view";
export { tags } from "@lezer/highlight";
export { strToU8, unzipSync, zipSync } from "fflate";
export { parseTOML } from "toml-eslint-parser";
