// Reads a step aloud on request, with the voice of the device; nothing leaves the device.

export function makeVoice(tell) {
  const speech = window.speechSynthesis;
  const able = Boolean(speech) && typeof window.SpeechSynthesisUtterance === "function";
  let current = null;

  function stop() {
    if (!able) return;
    current = null;
    speech.cancel();
    tell(false);
  }

  return {
    able,
    stop,
    get speaking() {
      return current !== null;
    },
    say(text) {
      if (!able) return;
      speech.cancel();
      const said = new SpeechSynthesisUtterance(text);
      said.lang = "en";
      said.rate = 0.95;
      said.onend = said.onerror = () => {
        if (current !== said) return;
        current = null;
        tell(false);
      };
      current = said;
      tell(true);
      speech.speak(said);
    },
  };
}
