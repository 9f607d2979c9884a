// What the pages do without asking the server: light and dark, the usual keys, menus, dropped files.
"use strict";
(() => {
  const root = document.documentElement;
  const remembered = (() => {
    try { return localStorage.getItem("airweft-light"); } catch { return null; }
  })();
  const dark = matchMedia("(prefers-color-scheme: dark)");
  const light = (which) => { root.dataset.light = which; };
  light(remembered || (dark.matches ? "dark" : "light"));
  dark.addEventListener("change", () => {
    let own = null;
    try { own = localStorage.getItem("airweft-light"); } catch { /* none is remembered then */ }
    if (!own) light(dark.matches ? "dark" : "light");
  });

  const press = (action) => {
    const button = document.querySelector(`[data-do="${action}"]`);
    if (button && !button.disabled) button.click();
    return Boolean(button);
  };

  document.addEventListener("click", (event) => {
    const target = event.target instanceof Element ? event.target : null;
    if (target && target.closest('[data-do="light"]')) {
      const next = root.dataset.light === "dark" ? "light" : "dark";
      light(next);
      try { localStorage.setItem("airweft-light", next); } catch { /* only for this page then */ }
    }
    for (const menu of document.querySelectorAll("details.menu[open]")) {
      const inside = target && menu.contains(target);
      if (!inside || target.closest(".menu-list button, .menu-list a")) menu.open = false;
    }
  });

  const typing = (element) =>
    element instanceof HTMLElement &&
    (element.isContentEditable ||
      element.matches("textarea, select, input:not([type=checkbox]):not([type=radio]):not([type=range])"));

  document.addEventListener("keydown", (event) => {
    if (event.key === "Escape") {
      for (const menu of document.querySelectorAll("details.menu[open]")) {
        menu.open = false;
        menu.querySelector("summary").focus();
      }
    }
    if (!(event.ctrlKey || event.metaKey) || event.altKey || typing(event.target)) return;
    const key = event.key.toLowerCase();
    const action = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : "";
    if (action && press(action)) event.preventDefault();
  });

  // A list that holds all its words in one text offers the first few that fit what is typed.
  const offer = (event) => {
    const list = event.target instanceof HTMLInputElement ? event.target.list : null;
    if (!list || list.dataset.words === undefined) return;
    const typed = event.target.value.trim().toLowerCase();
    const fits = list.dataset.words.split("\n").filter((word) => word.toLowerCase().includes(typed));
    const first = fits.filter((word) => word.toLowerCase().startsWith(typed));
    list.replaceChildren(
      ...[...new Set([...first, ...fits])].slice(0, 24).map((word) => {
        const option = document.createElement("option");
        option.value = word;
        return option;
      }),
    );
  };
  document.addEventListener("focusin", offer);
  document.addEventListener("input", offer);

  // Files may be dropped anywhere on a page that takes some.
  const taker = () => document.querySelector(".takes-files input[type=file]");
  let depth = 0;
  const files = (event) => [...(event.dataTransfer?.types || [])].includes("Files");
  document.addEventListener("dragenter", (event) => {
    if (files(event) && taker() && ++depth) root.classList.add("dragging");
  });
  document.addEventListener("dragleave", (event) => {
    if (files(event) && taker() && --depth <= 0) root.classList.remove("dragging");
  });
  document.addEventListener("dragover", (event) => { if (files(event)) event.preventDefault(); });
  document.addEventListener("drop", (event) => {
    if (!files(event)) return;
    event.preventDefault();
    depth = 0;
    root.classList.remove("dragging");
    const input = taker();
    if (!input) return;
    input.files = event.dataTransfer.files;
    input.dispatchEvent(new Event("change", { bubbles: true }));
  });
})();
