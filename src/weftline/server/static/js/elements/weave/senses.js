/** A spoken prompt and wooden knocks, off until asked; and a screen that stays awake where the browser allows. */

const SPEAK = "weftline-speak";
const KNOCK = "weftline-knock";
/** Pitch of a knock for each shed, Hz: a block of wood, then larger ones. */
const PITCHES = [820, 610, 455, 340];

/** @param {string} id @param {string} key */
function kept(id, key) {
  const box = document.getElementById(id);
  if (!(box instanceof HTMLInputElement)) return () => false;
  box.checked = localStorage.getItem(key) === "on";
  box.addEventListener("change", () => localStorage.setItem(key, box.checked ? "on" : "off"));
  return () => box.checked;
}

export function createSenses() {
  const speaks = kept("speak", SPEAK);
  const knocks = kept("knock", KNOCK);
  /** @type {AudioContext | null} */
  let audio = null;

  /** @param {number} shed from 0 */
  function knock(shed) {
    audio ??= new AudioContext();
    const start = audio.currentTime + 0.005;
    const length = Math.round(audio.sampleRate * 0.09);
    const noise = audio.createBuffer(1, length, audio.sampleRate);
    const data = noise.getChannelData(0);
    for (let place = 0; place < length; place += 1) data[place] = (Math.random() * 2 - 1) * Math.exp((-9 * place) / length);
    const source = audio.createBufferSource();
    source.buffer = noise;
    const body = audio.createBiquadFilter();
    body.type = "bandpass";
    body.frequency.value = PITCHES[shed % PITCHES.length] ?? 600;
    body.Q.value = 7;
    const loud = audio.createGain();
    loud.gain.value = 2.2;
    source.connect(body).connect(loud).connect(audio.destination);
    source.start(start);
  }

  return {
    /** @param {string} words @param {number} shed from 0 */
    prompt(words, shed) {
      if (knocks()) knock(shed);
      if (speaks() && "speechSynthesis" in window) {
        speechSynthesis.cancel();
        speechSynthesis.speak(new SpeechSynthesisUtterance(words));
      }
    },
  };
}

/** @param {(words: string) => void} says */
export async function stayAwake(says) {
  const ask = async () => {
    if (document.visibilityState !== "visible" || !("wakeLock" in navigator)) return false;
    try {
      await navigator.wakeLock.request("screen");
      return true;
    } catch {
      return false;
    }
  };
  document.addEventListener("visibilitychange", () => void ask());
  const isAwake = await ask();
  says(isAwake ? "The screen stays awake while this page is open." : "This browser lets the screen sleep; ask the device to keep it on.");
}
