// The flat chart as a part of the page.

import { makeBoard } from "airweft-chart/board.js";
import { keepStep } from "airweft-chart/beside.js";
import { addKeys } from "airweft-chart/keys.js";
import { loadStyle, whenView } from "airweft-view/registry.js";

export default {
  template: '<div class="pv"></div>',
  props: { number: Number, view: Number, pack: Object, state: Object },
  watch: {
    pack(next) {
      if (this.board && next) this.board.take({ ...next }, true);
    },
    state(next) {
      if (this.board) this.board.set({ ...next });
    },
  },
  async mounted() {
    await loadStyle(import.meta.resolve("airweft-view/view.css"));
    if (!this.$el.isConnected) return;
    this.board = makeBoard(this.$el, (name, args) => this.$emit(name, args));
    addKeys(this.board, this.number);
    this.board.set({ ...this.state });
    if (this.pack) this.board.take({ ...this.pack }, true);
    for (const [name, args] of this.early || []) this[name](...args);
    this.early = null;
    if (this.view >= 0) {
      this.stopWaiting = whenView(this.view, (stage) => {
        if (this.part) this.part();
        this.part = keepStep(this.board, stage);
      });
    }
  },
  unmounted() {
    if (this.stopWaiting) this.stopWaiting();
    if (this.part) this.part();
    if (this.board) this.board.close();
  },
  methods: {
    later(name, ...args) {
      this.early = [...(this.early || []), [name, args]];
    },
    take(part, whole) {
      if (this.board) this.board.take(part, whole);
      else this.later("take", part, whole);
    },
    change(next) {
      if (this.board) this.board.set(next);
      else this.later("change", next);
    },
  },
};
