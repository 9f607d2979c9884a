// The bench: steps one after the other around a view, for two busy hands.

import { loadStyle, whenView } from "airweft-view/registry.js";
import { makeAwake } from "airweft-phone/awake.js";
import { makeVoice } from "airweft-phone/voice.js";
import { actOf, nearlyHorizontal } from "airweft-make/moves.js";
import * as kept from "airweft-make/kept.js";
import { found, spoken, stepOf } from "airweft-make/steps.js";
import { TEMPLATE } from "airweft-make/template.js";
import { TEXT } from "airweft-make/texts.js";

const RETRY = 1500; // ms between two tries to have a step saved
const LATE = 3; // s after which the time of a step is not believed any more

export default {
  template: TEMPLATE,
  props: { piece: String, given: Object, view: Number, cautions: Array },
  data: () => ({
    job: null,
    making: false,
    paused: false,
    at: 0,
    step: null,
    live: "",
    note: "",
    wanted: "",
    list: { steps: [], note: "" },
    awake: "off",
    awakeWhy: "",
    hintRead: false,
    speaking: false,
    canSpeak: false,
    swipe: null,
    goesOn: false,
    scrolls: false,
    wishes: kept.readWishes(),
  }),
  computed: {
    awakeWords() {
      return TEXT.awake[this.awakeWhy === "insecure" ? "insecure" : this.awake];
    },
    dim() {
      return this.awake === "refused" || this.awake === "unsupported";
    },
    doneText() {
      return TEXT.made(this.step.done, this.step.all);
    },
    nextWord() {
      const stops = this.job ? this.job.stops : 0;
      return this.at >= stops ? "Done" : this.at === stops - 1 ? "Finish" : "Next";
    },
  },
  watch: {
    given(next) {
      if (next) this.hand(next);
    },
    wanted() {
      this.fillList();
    },
    wishes: {
      deep: true,
      handler(next) {
        kept.writeWishes({ ...next });
      },
    },
  },
  created() {
    // Not reactive: a large model is none of the page's concern.
    this.own = { stage: null, pending: null, serial: 0, timer: 0, stops: [], wanted: null };
  },
  mounted() {
    loadStyle(import.meta.resolve("airweft-make/make.css"));
    this.voice = makeVoice((speaking) => (this.speaking = speaking));
    this.canSpeak = this.voice.able;
    this.keeper = makeAwake((state, why) => {
      this.awake = state;
      this.awakeWhy = why || "";
    });
    this.edges = new ResizeObserver(() => this.edge());
    this.edges.observe(this.$refs.words);
    this.keyed = (event) => this.key(event);
    this.hid = () => {
      if (document.hidden && this.making && !this.paused) this.$emit("rest", this.job.copy);
    };
    this.gone = () => this.voice.stop();
    document.addEventListener("keydown", this.keyed);
    document.addEventListener("visibilitychange", this.hid);
    window.addEventListener("pagehide", this.gone);
    this.own.stops.push(
      whenView(this.view, (stage) => {
        this.own.stage = stage;
        this.own.stops.push(stage.on("model", () => this.show(true)));
        // A drag on the picture must not leave the keys there.
        stage.main.addEventListener("pointerup", () => this.making && stage.main.blur());
        this.show(true);
      }),
    );
    this.own.timer = setInterval(() => this.send(true), RETRY);
    if (!this.given) return;
    this.hand(this.given);
    const was = kept.readMaking(this.piece);
    if (this.given.others.some(([copy]) => copy === was)) this.enter(was);
  },
  unmounted() {
    document.removeEventListener("keydown", this.keyed);
    document.removeEventListener("visibilitychange", this.hid);
    window.removeEventListener("pagehide", this.gone);
    this.edges.disconnect();
    clearInterval(this.own.timer);
    for (const stop of this.own.stops) stop();
    this.voice.stop();
    this.keeper.letGo();
    document.body.classList.remove("making");
  },
  methods: {
    // Another copy on the bench, or a new state of the one that lies there.
    hand(job) {
      const { own } = this;
      const before = this.job;
      this.job = job;
      const same = before && before.copy === job.copy && before.plan === job.plan;
      if (same && own.pending) return;
      if (!same) {
        own.pending = null;
        const unsaved = kept.readUnsaved(this.piece, job);
        const fits = unsaved && Array.isArray(unsaved.through) && unsaved.stop <= job.stops;
        if (fits && [...unsaved.through, unsaved.stop].includes(job.stop)) {
          own.pending = { ...unsaved, serial: ++own.serial, late: true, sent: 0 };
        } else if (unsaved) {
          kept.writeUnsaved(this.piece, job, null);
          this.note = TEXT.moved;
        }
      }
      const to = own.pending ? own.pending.stop : job.stop;
      const moved = to !== this.at;
      this.at = to;
      if (!same || moved) this.show(!same);
      this.send(false);
      if (own.wanted === job.copy || (this.making && !same)) this.enter(job.copy);
    },

    // Shows where the maker is; `quiet` leaves out what is read aloud.
    show(quiet) {
      const { stage } = this.own;
      const model = stage && stage.model;
      const fits = model && this.job && model.stops.length === this.job.stops;
      this.step = fits ? stepOf(model, this.at) : null;
      if (!stage) return;
      const { follow } = this.wishes;
      const from = follow ? null : [...stage.seenFrom];
      if (!this.making || fits) stage.set({ step: this.making ? this.at : null });
      if (from && this.making && stage.picture) stage.picture.lookFrom(from);
      if (!this.making || !this.step) return;
      if (!quiet) this.note = "";
      this.$refs.words.scrollTop = 0;
      this.$nextTick(this.edge);
      this.live = spoken(this.step);
      if (this.wishes.sayAll && !this.paused) this.voice.say(this.live);
    },

    go(to) {
      if (!this.job || !this.step) return;
      const stop = Math.max(0, Math.min(this.job.stops, to));
      this.voice.stop();
      if (stop === this.at) return;
      const { own, job } = this;
      // Any of these may be what the server knows: an answer can be lost too.
      const through = own.pending ? [...own.pending.through.slice(-99), this.at] : [this.at];
      const late = Boolean(own.pending && !own.pending.sent);
      own.pending = { stop, through, serial: ++own.serial, since: performance.now(), late, sent: 0 };
      kept.writeUnsaved(this.piece, job, { stop, through });
      this.at = stop;
      this.show(false);
      this.send(false);
    },
    next() {
      if (this.at < this.job.stops) this.go(this.at + 1);
      else this.leave();
    },
    back() {
      if (this.at > 0) this.go(this.at - 1);
      else this.leave();
    },

    // Has the last step saved; again and again until the server has answered.
    send(again) {
      const { pending } = this.own;
      if (!pending) return;
      const now = performance.now();
      if (again && pending.sent && now - pending.sent < RETRY) return;
      if (again && now - (pending.since || 0) > 2 * RETRY) this.note = TEXT.unsaved;
      if (window.socket && !window.socket.connected) return;
      const ago = pending.since ? (now - pending.since) / 1000 : 0;
      const late = pending.late || Boolean(pending.sent) || ago > LATE;
      pending.sent = now;
      const { copy, plan } = this.job;
      this.$emit("go", { copy, plan, stop: pending.stop, ago, late, serial: pending.serial });
    },
    saved(serial) {
      const { own } = this;
      if (!own.pending || own.pending.serial !== serial) {
        // An earlier step is saved, and a later one is on its way.
        return;
      }
      own.pending = null;
      kept.writeUnsaved(this.piece, this.job, null);
      if (this.note === TEXT.unsaved) this.note = "";
    },
    refused(serial, text) {
      this.saved(serial);
      this.note = text;
      this.at = this.job.stop;
      this.show(true);
    },

    // Begins to make a copy, which may not be on the bench yet.
    enter(copy) {
      const here = this.job && this.job.copy === copy;
      this.own.wanted = here ? null : copy;
      if (!here) {
        this.$emit("other", copy);
        return;
      }
      this.making = true;
      this.paused = false;
      kept.writeMaking(this.piece, this.job.copy);
      document.body.classList.add("making");
      window.scrollTo(0, 0);
      this.keeper.hold();
      this.$emit("enter", this.job.copy);
      this.show(true);
      this.$nextTick(() => this.$refs.title && this.$refs.title.focus({ preventScroll: true }));
    },
    leave() {
      this.making = this.paused = false;
      kept.writeMaking(this.piece, null);
      document.body.classList.remove("making");
      this.voice.stop();
      this.keeper.letGo();
      this.$emit("leave", this.job ? this.job.copy : -1);
      this.show(true);
    },
    pause() {
      this.paused = true;
      this.voice.stop();
      this.keeper.letGo();
      this.$emit("rest", this.job.copy);
      this.$nextTick(() => this.$refs.resume.focus());
    },
    resume() {
      this.paused = false;
      this.keeper.hold();
      this.$nextTick(() => this.$refs.title && this.$refs.title.focus({ preventScroll: true }));
    },
    other(copy) {
      this.$refs.more.close();
      if (this.job && copy === this.job.copy) return;
      this.$emit("other", copy);
    },

    say() {
      if (this.speaking) this.voice.stop();
      else if (this.step) this.voice.say(spoken(this.step));
    },
    lookBehind() {
      this.own.stage.camera([...this.step.behind]);
    },

    openJump() {
      this.wanted = "";
      this.fillList();
      this.$refs.jump.showModal();
      this.$nextTick(() => {
        const here = this.$refs.list && this.$refs.list.querySelector("[aria-current]");
        if (here) here.scrollIntoView({ block: "center" });
      });
    },
    fillList() {
      const { stage } = this.own;
      if (stage && stage.model) this.list = found(stage.model, this.wanted, this.step ? this.step.number - 1 : 0);
    },
    firstStop(number) {
      return this.own.stage.model.steps[number - 1].firstStop;
    },
    jumpTo(stop) {
      this.$refs.jump.close();
      this.go(stop);
    },

    // A soft edge at the bottom says that the words go on.
    edge() {
      const words = this.$refs.words;
      if (!words) return;
      this.scrolls = words.scrollHeight > words.clientHeight + 2;
      this.goesOn = words.scrollHeight - words.clientHeight - words.scrollTop > 6;
    },
    tapped(event, act) {
      act();
      // After a tap the space bar or a pedal must mean Next again, not the button touched last.
      if (event.detail > 0 && document.activeElement) document.activeElement.blur();
    },
    swipeFrom(event) {
      this.swipe = event.pointerType === "mouse" || !event.isPrimary ? null : [event.clientX, event.clientY];
    },
    swipeTo(event) {
      if (!this.swipe || !event.isPrimary) return;
      const dx = event.clientX - this.swipe[0];
      const way = nearlyHorizontal(dx, event.clientY - this.swipe[1]);
      this.swipe = null;
      if (way) this.go(this.at - way);
    },
    key(event) {
      if (!this.making || event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return;
      if (this.$el.querySelector("dialog[open]") || document.querySelector(".q-dialog")) return;
      const act = actOf(event, this.$refs.words);
      if (!act) return;
      event.preventDefault();
      // A pedal held down must not run through the steps.
      if (event.repeat && !act.turn) return;
      if (act.turn) this.own.stage.picture.nudge(act.turn);
      else if (this.paused) this.resume();
      else if (act.go === "first") this.go(0);
      else if (act.go === "last") this.go(this.job.stops);
      else if (act.go === "next") {
        if (this.at < this.job.stops) this.next();
      } else if (this.at > 0) this.back();
    },
  },
};
