/** The bare warp behind the cloth and above its fell, while there is room to weave. */
import { hexToLinear } from "../../model/light.js";
import { element } from "../../page/element.js";
import { WarpPainter, threadPlaces } from "../../render/warp.js";
import { at } from "../../scene/strip.js";
/** @import { Painting } from "./painting.js" */
/** @import { StripScene } from "../../scene/strip.js" */
/** @import { Design } from "../../state/design.js" */

export class BareWarpLayer {
  /** @param {Painting} painting */
  constructor(painting) {
    this.painting = painting;
    this.canvas = element("canvas", { "aria-hidden": "true" });
    painting.wool.before(this.canvas);
    /** @type {WarpPainter | null} */
    this.painter = null;
    this.key = "";
    this.drawn = "";
  }

  /**
   * @param {Design} state
   * @param {StripScene} scene
   */
  draw({ piece }, scene) {
    const { wool, dense, placing, painter } = this.painting;
    if (!placing) return;
    const key = [scene.sight.ends.length, scene.column, piece.warp, piece.edge.kind, piece.edge.ends].join(" ");
    if (key !== this.key) {
      this.key = key;
      this.painter = new WarpPainter(threadPlaces(scene.sight.ends.length, scene.column, piece.edge), hexToLinear(piece.warp), { columnPx: scene.column, linePx: scene.column });
      this.drawn = "";
    }
    const fell = at(scene.sight.feet, scene.sight.shed.length);
    const top = Math.round((placing.footY - placing.scroll) * dense);
    const isHoled = scene.sight.ends.some((shaft) => !scene.sight.shed.some((shed) => shed & (1 << (shaft - 1))));
    const spans = /** @type {[number, number][]} */ (fell === 0 ? [[-40 * dense, placing.height * dense]] : [[isHoled ? 0 : Math.max(0, fell - 12 * dense), placing.footY * dense]]);
    const inSight = spans.some(([low, high]) => top - high < wool.height && top - low > 0);
    this.canvas.hidden = !inSight;
    if (!inSight) return;
    const drawn = [key, top, fell, wool.width, wool.height, wool.style.left, isHoled].join(" ");
    if (drawn === this.drawn) return;
    this.drawn = drawn;
    if (this.canvas.width !== wool.width || this.canvas.height !== wool.height) {
      this.canvas.width = wool.width;
      this.canvas.height = wool.height;
    }
    for (const name of /** @type {const} */ (["left", "width", "height"])) this.canvas.style[name] = wool.style[name];
    const image = new ImageData(wool.width, wool.height);
    this.painter?.paint(image, { top, left: painter.left, spans });
    this.canvas.getContext("2d")?.putImageData(image, 0, 0);
  }
}
