// Timers that survive a locked screen: they know when they end (or began), and look at the clock; nothing is counted.

// Seconds to the end of a rest, below zero once it is over.
export const secondsLeft = (rest, now = Date.now()) => (rest.ends - now) / 1000;

// Whole seconds since a hold began.
export const secondsHeld = (hold, now = Date.now()) => Math.max(0, Math.round((now - hold.began) / 1000));

// 2:05
export function clockText(seconds) {
  const whole = Math.max(0, Math.ceil(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

let sound = null, awake = null;

// Browsers allow a sound only after a touch: called from one.
export function allowSound() {
  try {
    sound ??= new AudioContext();
    if (sound.state === "suspended") sound.resume();
  } catch {
    sound = null; // none to be had
  }
}

// Two short tones and a shake.
export function signal() {
  navigator.vibrate?.([200, 100, 200]);
  if (!sound || sound.state !== "running") return;
  for (const [after, pitch] of [[0, 660], [0.25, 880]]) {
    const tone = sound.createOscillator(), loudness = sound.createGain(), from = sound.currentTime + after;
    tone.frequency.value = pitch;
    loudness.gain.setValueAtTime(0.2, from);
    loudness.gain.exponentialRampToValueAtTime(0.001, from + 0.2);
    tone.connect(loudness).connect(sound.destination);
    tone.start(from);
    tone.stop(from + 0.2);
  }
}

// Keeps the screen on while something is held, where the browser can.
export async function stayAwake(wanted) {
  try {
    if (wanted && !awake) awake = await navigator.wakeLock?.request("screen");
    else if (!wanted && awake) {
      await awake.release();
      awake = null;
    }
  } catch {
    awake = null; // refused, as with a low battery: the clock goes on all the same
  }
}
