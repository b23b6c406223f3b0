/** What is shared between the modules; nothing of the page's own. */

/** A form that was sent and not answered yet: kept on this device until the server says that it is kept. */
export interface Held {
  readonly id: string;
  readonly url: string;
  readonly body: string;
  /** How often it was sent. */
  readonly tries: number;
}

export type Link = { readonly type: "here" } | { readonly type: "away" };

export interface State {
  readonly held: readonly Held[];
  readonly link: Link;
  readonly sending: boolean;
}

export type Action =
  | { readonly type: "held"; readonly form: Held }
  | { readonly type: "sending" }
  | { readonly type: "kept"; readonly id: string }
  | { readonly type: "refused"; readonly id: string }
  | { readonly type: "away" }
  | { readonly type: "here" };

/** What came back: kept, with the page that shows it; refused, with a sentence; or no answer at all. */
export type Answer =
  | { readonly type: "kept"; readonly href: string }
  | { readonly type: "refused"; readonly says: string; readonly status: number }
  | { readonly type: "away" };
