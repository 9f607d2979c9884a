// Keeps the screen on while the piece is being made, where the browser can, and says whether it does.
//
// States: "off" (not asked), "held", "lost" (the system let it go), "refused", "unsupported".

export function makeAwake(tell) {
  const canAsk = "wakeLock" in navigator;
  let wanted = false;
  let lock = null;
  let asking = false;
  let state = "off";

  function set(next, why = "") {
    state = next;
    tell(state, why);
  }

  async function ask() {
    if (!wanted || lock || asking || document.visibilityState !== "visible") return;
    if (!canAsk) {
      set("unsupported", window.isSecureContext ? "" : "insecure");
      return;
    }
    asking = true;
    try {
      const got = await navigator.wakeLock.request("screen");
      if (!wanted) {
        got.release().catch(() => {});
        return;
      }
      lock = got;
      lock.addEventListener("release", () => {
        if (lock !== got) return;
        lock = null;
        if (wanted) set("lost");
      });
      set("held");
    } catch (error) {
      set("refused", error && error.name ? error.name : "");
    } finally {
      asking = false;
    }
  }

  document.addEventListener("visibilitychange", ask);
  // A browser may want a gesture: every one is a new chance while the lock is not held.
  document.addEventListener("pointerup", ask);
  document.addEventListener("keyup", ask);

  return {
    get state() {
      return state;
    },
    hold() {
      wanted = true;
      return ask();
    },
    letGo() {
      wanted = false;
      const held = lock;
      lock = null;
      if (held) held.release().catch(() => {});
      set("off");
    },
  };
}
