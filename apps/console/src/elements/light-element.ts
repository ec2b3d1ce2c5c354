import { LitElement } from 'lit';

/** An element without a shadow: one style sheet, one set of ids and one order of reading for the whole page. */
export abstract class LightElement extends LitElement {
  protected override createRenderRoot(): HTMLElement {
    return this;
  }
}
