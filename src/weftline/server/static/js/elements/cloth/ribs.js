/** The five ribs of the line in hand, enlarged on its card. */
import { cardPixels, cropFor, drawCard } from "../../render/card.js";
import { at } from "../../scene/strip.js";
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design } from "../../state/design.js" */
/** @import { Painting } from "./painting.js" */

/**
 * @param {HTMLCanvasElement} canvas
 * @param {Painting} painting
 * @param {Design} state
 * @param {StripScene} scene
 */
export function drawRibs(canvas, painting, { cursor }, scene) {
  if (!cursor || cursor.line >= scene.cloth.picks.lines || !painting.painter.scene) return;
  const [first, last] = [at(scene.kin.starts, cursor.line), at(scene.kin.starts, cursor.line + 1)];
  const picks = Array.from({ length: last - first }, (_, place) => first + place);
  const up = (at(scene.sight.feet, first) + at(scene.sight.feet, last)) / 2;
  const columns = Math.min(3, Math.floor(scene.shown / 2));
  const middle = { x: (columns + 0.5) * scene.column - painting.painter.left, y: painting.painter.top - up };
  const crop = cropFor(middle, scene.column, canvas, painting.image);
  const pen = canvas.getContext("2d");
  if (!pen || crop.width < 2 || crop.height < 2) return;
  const { data, width, height } = cardPixels(painting.painter, picks, crop);
  const picture = new OffscreenCanvas(width, height);
  picture.getContext("2d")?.putImageData(new ImageData(/** @type {any} */ (data), width, height), 0, 0);
  drawCard(pen, picture, crop, canvas);
}
