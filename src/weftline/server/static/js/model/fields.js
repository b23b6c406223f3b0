/** Changes one field inside nested objects: a value, `null`, or taken away with what is left empty around it. */

/**
 * @typedef {Readonly<Record<string, unknown>>} Fields
 * @typedef {object} FieldChange
 * @property {unknown} value what it becomes; null takes it away
 * @property {boolean} null without a value: write null instead
 * @property {number} tidy how many objects around it go too where they are left empty
 * @property {string | null} before key in front of which a new key is put; else it comes last
 */

/**
 * The fields with one changed.
 * @param {Fields} fields
 * @param {readonly string[]} names its name, inside the objects named before it
 * @param {FieldChange} change
 * @returns {Fields}
 */
export function changedField(fields, names, change) {
  const name = names[0] ?? "";
  const rest = names.slice(1);
  if (!rest.length) return withKey(fields, name, change);
  const has = Object.hasOwn(fields, name);
  const old = has ? fields[name] : undefined;
  if (isMapping(old)) {
    const inner = changedField(old, rest, change);
    const emptied = Object.keys(old).length > 0 && !Object.keys(inner).length && rest.length <= change.tidy;
    return emptied ? withoutKey(fields, name) : { ...fields, [name]: inner };
  }
  return takesAway(change) ? fields : { ...fields, [name]: changedField({}, rest, change) };
}

/** @param {FieldChange} change */
function takesAway(change) {
  return change.value === null && !change.null;
}

/** @param {Fields} fields @param {string} name @returns {Fields} */
function withoutKey(fields, name) {
  return Object.fromEntries(Object.entries(fields).filter(([key]) => key !== name));
}

/** @param {Fields} fields @param {string} name @param {FieldChange} change @returns {Fields} */
function withKey(fields, name, change) {
  if (takesAway(change)) return withoutKey(fields, name);
  const { before, value } = change;
  if (Object.hasOwn(fields, name) || before === null || !Object.hasOwn(fields, before)) return { ...fields, [name]: value };
  return Object.fromEntries(Object.entries(fields).flatMap(([key, old]) => (key === before ? [[name, value], [key, old]] : [[key, old]])));
}

/** @param {unknown} value @returns {value is Fields} */
function isMapping(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
