/** A file dropped anywhere on the rail, or chosen, becomes a piece. */
import { sendFile } from "../api/client.js";
import { sayWord } from "./says.js";

/** @returns {HTMLFormElement | null} */
function form() {
  const found = document.getElementById("drop");
  return found instanceof HTMLFormElement ? found : null;
}

/** @param {File} file */
async function hang(file) {
  const found = form();
  if (!found) return;
  if (file.size > 4_000_000) {
    sayWord(`${file.name} has more than 4 MB. A project file has at most 4 MB; choose another.`);
    return;
  }
  const data = new FormData(found);
  data.set("file", file);
  const answer = await sendFile(found.action, data);
  if (answer.type === "kept") location.assign(answer.href);
  else sayWord(answer.type === "refused" ? answer.says : "No connection. Drop it again when the workbench is back.");
  found.reset();
}

export function watchDrops() {
  document.addEventListener("change", (event) => {
    const file = event.target instanceof HTMLInputElement && event.target.form?.id === "drop" ? event.target.files?.[0] : null;
    if (file) void hang(file);
  });
  document.addEventListener("dragover", (event) => {
    if (!form() || !event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    document.body.classList.add("dropping");
  });
  document.addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) document.body.classList.remove("dropping");
  });
  document.addEventListener("drop", (event) => {
    document.body.classList.remove("dropping");
    const file = event.dataTransfer?.files[0];
    if (!form() || !file) return;
    event.preventDefault();
    void hang(file);
  });
}
