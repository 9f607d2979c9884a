// The text twin as a part of the page.

import { loadStyle, whenView } from "airweft-view/registry.js";
import { makeTwin } from "airweft-view/words.js";

export default {
  template: '<details class="pv-twin"></details>',
  props: { view: Number, number: Number, opened: Boolean },
  mounted() {
    loadStyle(import.meta.resolve("airweft-view/view.css"));
    this.$el.open = this.opened;
    this.stopWaiting = whenView(this.view, (stage) => {
      if (this.twin) this.twin.close();
      this.twin = makeTwin(this.$el, stage, this.number);
    });
  },
  unmounted() {
    this.stopWaiting();
    if (this.twin) this.twin.close();
  },
};
