/** Says something: beside the form that it is about, or as a word at the foot of the page. */

/**
 * @param {HTMLFormElement | null} form
 * @param {string} text
 * @param {(() => void) | null} mine  what to do where a weaver keeps their own version
 * @param {(() => void) | null} theirs
 */
export function sayBeside(form, text, mine = null, theirs = null) {
  if (!form?.isConnected) {
    sayWord(text);
    return;
  }
  form.querySelector(".says")?.remove();
  const says = document.createElement("p");
  says.className = "says";
  says.setAttribute("role", "alert");
  says.textContent = text;
  for (const [word, act] of /** @type {const} */ ([["Keep mine", mine], ["Keep theirs", theirs]])) {
    if (!act) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "btn";
    button.textContent = word;
    button.addEventListener("click", act);
    says.append(" ", button);
  }
  form.append(says);
}

/** @type {ReturnType<typeof setTimeout> | undefined} */
let leaving;

/** @param {string} text */
export function sayWord(text) {
  const word = document.getElementById("word");
  if (!word) return;
  word.textContent = text;
  clearTimeout(leaving);
  leaving = setTimeout(() => { word.textContent = ""; }, 6000);
}

/** @param {string} words @param {boolean} isAway */
export function sayKept(words, isAway) {
  const kept = document.querySelector("#kept .kept-word");
  if (kept) kept.textContent = words;
  else if (isAway) sayWord("No connection. Everything typed stays here.");
}
