// A canvas as a part of the page: hands packs and state to what shows the piece, and its events back.

import { loadStyle } from "./registry.js";

// `start(root, emit)` makes what shows the piece, `dress(shown, props)` puts the tools around it before it
// shows anything, `join(shown, props)` ties it to the rest of the page afterwards; the last two return how
// to undo that. `calls` are further methods for the server, by their own names.
export function canvasPart({ props, start, dress, join, calls = [] }) {
  // Each of these may come before there is anything to show.
  const method = (name, own) =>
    function (...args) {
      if (this.shown) this.shown[own](...args);
      else this.early = [...(this.early || []), [name, args]];
    };
  return {
    template: '<div class="pv"></div>',
    props: { number: Number, pack: Object, state: Object, ...props },
    watch: {
      pack(next) {
        if (this.shown && next) this.shown.take({ ...next }, true);
      },
      state(next) {
        if (this.shown) this.shown.set({ ...next });
      },
    },
    async mounted() {
      await loadStyle(import.meta.resolve("airweft-view/view.css"));
      if (!this.$el.isConnected) return;
      this.shown = start(this.$el, (name, args) => this.$emit(name, args));
      const strip = dress(this.shown, this);
      this.shown.set({ ...this.state });
      if (this.pack) this.shown.take({ ...this.pack }, true);
      const part = join(this.shown, this);
      this.close = () => {
        part();
        strip();
        this.shown.close();
      };
      for (const [name, args] of this.early || []) this[name](...args);
      this.early = null;
    },
    unmounted() {
      if (this.close) this.close();
    },
    methods: {
      take: method("take", "take"),
      change: method("change", "set"),
      ...Object.fromEntries(calls.map((name) => [name, method(name, name)])),
    },
  };
}
