// The view as a part of the page: hands packs and state to the stage, and its events back.

import { addView, dropView, loadStyle } from "airweft-view/registry.js";
import { makeStage } from "airweft-view/stage.js";
import { addTools } from "airweft-view/tools.js";

export default {
  template: '<div class="pv"></div>',
  props: { number: Number, pack: Object, state: Object, tools: Array },
  watch: {
    pack(next) {
      if (this.stage && next) this.stage.take({ ...next }, true);
    },
    state(next) {
      if (this.stage) this.stage.set({ ...next });
    },
  },
  async mounted() {
    await loadStyle(import.meta.resolve("airweft-view/view.css"));
    if (!this.$el.isConnected) return;
    this.stage = makeStage(this.$el, (name, args) => this.$emit(name, args));
    this.closeTools = addTools(this.stage, this.tools, this.number);
    this.stage.set({ ...this.state });
    if (this.pack) this.stage.take({ ...this.pack }, true);
    addView(this.number, this.stage);
    for (const [name, args] of this.early || []) this[name](...args);
    this.early = null;
  },
  unmounted() {
    if (!this.stage) return;
    dropView(this.number, this.stage);
    this.closeTools();
    this.stage.close();
  },
  methods: {
    // Each of these may come before the stage is ready.
    later(name, ...args) {
      this.early = [...(this.early || []), [name, args]];
    },
    take(part, whole) {
      if (this.stage) this.stage.take(part, whole);
      else this.later("take", part, whole);
    },
    change(next) {
      if (this.stage) this.stage.set(next);
      else this.later("change", next);
    },
    camera(where) {
      if (this.stage) this.stage.camera(where);
      else this.later("camera", where);
    },
  },
};
