// The bench as it stands on the page.

const icon = (inner) => `<svg class="mk-icon" viewBox="0 0 24 24" aria-hidden="true">${inner}</svg>`;
const ICONS = {
  leave: icon('<path d="M14.5 5 7.5 12l7 7"/>'),
  screen: icon(
    '<rect x="5.5" y="2.5" width="13" height="19" rx="2.5"/><path class="mk-lit" d="M8 5h8v14H8Z"/><path class="mk-slash" d="M3 21 21 3"/>',
  ),
  alert: icon('<path d="M12 4 21 19.5H3Z"/><path d="M12 10v4.5M12 17v.2"/>'),
  pause: icon('<path d="M8.5 5v14M15.5 5v14"/>'),
  more: icon('<path d="M4 7h16M4 12h16M4 17h16"/>'),
  say: icon('<path d="M4 9.5v5h3.5l5 4v-13l-5 4Z"/><path d="M16 9a4.5 4.5 0 0 1 0 6M18.5 6.5a8 8 0 0 1 0 11"/>'),
  close: icon('<path d="m6 6 12 12M18 6 6 18"/>'),
};

const head = (id, title) => `
  <form method="dialog" class="mk-sheet-head"><h2 id="${id}">${title}</h2>
    <button class="mk-tool" aria-label="Close">${ICONS.close}</button></form>`;

export const TEMPLATE = `
<div class="mk" :class="{ 'mk-on': making, 'mk-big': wishes.big }">
  <header class="mk-bar" :inert="paused" v-if="making" aria-label="Making">
    <button type="button" class="mk-tool" aria-label="Leave the bench" title="Leave the bench" @click="leave">${ICONS.leave}<span class="mk-tool-text">Leave</span></button>
    <button type="button" class="mk-step" aria-haspopup="dialog" @click="openJump"><span>{{ step ? step.figures : "" }}</span><span class="mk-caret" aria-hidden="true"></span></button>
    <span class="mk-space"></span>
    <button type="button" class="mk-tool mk-chip" :title="awakeWords[0]" aria-haspopup="dialog" :data-state="awake" @click="$refs.more.showModal()">${ICONS.screen}<span class="mk-tool-text">{{ awakeWords[0] }}</span></button>
    <button type="button" class="mk-tool mk-caution" title="Cautions" aria-haspopup="dialog" @click="$refs.cautions.showModal()">${ICONS.alert}<span class="mk-tool-text">Cautions</span></button>
    <button type="button" class="mk-tool" title="Pause" @click="pause">${ICONS.pause}<span class="mk-tool-text">Pause</span></button>
    <button type="button" class="mk-tool" aria-haspopup="dialog" aria-label="Wishes and copies" title="Wishes and copies" @click="$refs.more.showModal()">${ICONS.more}</button>
    <div class="mk-line" role="progressbar" aria-label="Bubbles made" aria-valuemin="0" v-if="step" :aria-valuemax="step.all" :aria-valuenow="step.done" :aria-valuetext="doneText"><span :style="{ inlineSize: (100 * step.done) / step.all + '%' }"></span></div>
  </header>

  <section class="mk-picture" :inert="paused" aria-label="Picture">
    <slot></slot>
    <p class="mk-empty" v-if="making && step && step.empty">{{ step.empty }}</p>
    <p class="mk-turn" v-if="making && step && step.turn">{{ step.turn }}</p>
    <button type="button" class="mk-behind" v-if="making && step && step.behind" :aria-label="'Look behind. ' + step.behindText" :title="step.behindText" @click="lookBehind">Look behind</button>
  </section>

  <section class="mk-words" :inert="paused" :class="{ 'mk-goes-on': goesOn }" ref="words" :tabindex="scrolls ? 0 : -1" @scroll.passive="edge" v-show="making" aria-label="This step" @pointerdown="swipeFrom" @pointerup="swipeTo" @pointercancel="swipe = null">
    <p class="mk-note" v-if="note">{{ note }}</p>
    <p class="mk-note" v-if="dim && !hintRead">{{ awakeWords[1] }} <button type="button" class="btn" @click="hintRead = true">Understood</button></p>
    <template v-if="step">
      <div class="mk-head">
        <h1 ref="title" tabindex="-1" dir="auto">{{ step.title }}</h1>
        <button type="button" class="mk-tool mk-say" v-if="canSpeak" :aria-pressed="String(speaking)" @click="say">${ICONS.say}<span>{{ speaking ? "Stop" : "Say it" }}</span></button>
      </div>
      <p class="mk-copy" v-if="job.others.length > 1">{{ job.name }}</p>
      <p class="mk-lead" v-if="step.lead">{{ step.lead }}</p>
      <p class="mk-part" v-if="step.part">{{ step.part }}</p>
      <ul class="mk-take" v-if="step.take.length" aria-label="Balloons to take now">
        <li v-for="one in step.take" :key="one.code"><span class="mk-swatch" aria-hidden="true" :style="{ background: one.base }"><i>{{ one.mark }}</i></span><span><b>{{ one.code }}</b> {{ one.text }}</span></li>
      </ul>
      <p class="mk-text" dir="auto">{{ step.text }}</p>
      <p class="mk-check" :class="{ 'mk-later': !step.last }" v-if="step.check"><b>{{ step.checkWord }}</b> <span dir="auto">{{ step.check }}</span></p>
      <details class="mk-fold" v-if="step.whole"><summary>The whole step in short</summary><p dir="auto">{{ step.whole }}</p></details>
    </template>
    <p class="mk-text" v-else>Laying out the steps …</p>
    <slot name="words"></slot>
    <p class="mk-choking">{{ cautions[0][1] }}</p>
  </section>

  <nav class="mk-pedals" :inert="paused" v-if="making" aria-label="Steps">
    <button type="button" class="btn mk-back" @click="tapped($event, back)">{{ at ? "Back" : "Leave" }}</button>
    <button type="button" class="btn btn-main mk-next" @click="tapped($event, next)">{{ nextWord }}</button>
  </nav>

  <div class="mk-rest" v-show="!making"><slot name="rest"></slot></div>

  <div class="mk-paused" v-if="paused" role="dialog" aria-modal="true" aria-labelledby="mk-paused-title">
    <h2 id="mk-paused-title">Paused</h2>
    <p>Your place is saved: {{ step ? step.figures.toLowerCase() : "" }}. The screen may go dark, and this step is not timed. Rest your hands.</p>
    <button type="button" class="btn btn-main mk-next" ref="resume" @click="resume">Go on</button>
  </div>

  <div class="unseen" aria-live="polite" aria-atomic="true">{{ live }}</div>

  <dialog class="mk-sheet" ref="jump" aria-labelledby="mk-jump-title" @click="$event.target === $refs.jump && $refs.jump.close()">
    <div class="mk-sheet-top">
      ${head("mk-jump-title", "Go to a step")}
      <label class="mk-label" for="mk-find">Number, or a word of its text</label>
      <input id="mk-find" autofocus type="search" inputmode="search" enterkeyhint="go" autocomplete="off" v-model="wanted" @keydown.enter.prevent="list.steps.length && jumpTo(list.steps[0].firstStop)">
    </div>
    <ol class="mk-list" v-if="job && job.chapters.length && !wanted" aria-label="Sections">
      <li v-for="one in job.chapters" :key="one[0]"><button type="button" @click="jumpTo(firstStop(one[0]))"><span>{{ one[0] }}</span><b>{{ one[1] }}</b></button></li>
    </ol>
    <ol class="mk-list" ref="list" aria-label="Steps">
      <li v-for="one in list.steps" :key="one.number"><button type="button" :aria-current="step && !step.ended && one.number === step.number ? 'step' : null" @click="jumpTo(one.firstStop)"><span>{{ one.number }}</span><b dir="auto">{{ one.title }}</b></button></li>
    </ol>
    <p class="quiet" v-if="list.note" role="status">{{ list.note }}</p>
  </dialog>

  <dialog class="mk-sheet" ref="cautions" aria-labelledby="mk-cautions-title" @click="$event.target === $refs.cautions && $refs.cautions.close()">
    <div class="mk-sheet-top">${head("mk-cautions-title", "Cautions")}</div>
    <p class="mk-choking">{{ cautions[0][1] }}</p>
    <dl><template v-for="one in cautions.slice(1)" :key="one[0]"><dt>{{ one[0] }}</dt><dd>{{ one[1] }}</dd></template></dl>
  </dialog>

  <dialog class="mk-sheet" ref="more" aria-labelledby="mk-more-title" @click="$event.target === $refs.more && $refs.more.close()">
    <div class="mk-sheet-top">${head("mk-more-title", "Wishes")}</div>
    <label class="mk-wish"><span>Bigger type</span><input type="checkbox" v-model="wishes.big"></label>
    <label class="mk-wish"><span>The picture follows the work</span><input type="checkbox" v-model="wishes.follow"></label>
    <label class="mk-wish" v-if="canSpeak"><span>Say every step aloud</span><input type="checkbox" v-model="wishes.sayAll"></label>
    <h3>Screen: {{ awakeWords[0].toLowerCase() }}</h3>
    <p class="quiet">{{ awakeWords[1] }}</p>
    <template v-if="job && job.others.length > 1">
      <h3>Copies</h3>
      <ul class="mk-list"><li v-for="one in job.others" :key="one[0]"><button type="button" :aria-current="one[0] === job.copy ? 'true' : null" @click="other(one[0])"><b dir="auto">{{ one[1] }}</b><span>{{ one[2] }}</span></button></li></ul>
    </template>
    <h3>Keys and pedals</h3>
    <p class="quiet">Space, Enter, arrow right or down, Page Down: next. Arrow left or up, Page Up: back. Home and End: first step and last. Shift with an arrow turns the piece. Swipe the words to go on or back; drag the picture to turn it.</p>
  </dialog>
</div>`;
