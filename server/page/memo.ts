import { Component, type FunctionComponent, type VNode } from 'preact';

/**
 * A component that is drawn again only when one of its properties changes. The rendering library's own lies in its
 * part for compatibility, which gives `onChange` another meaning.
 */
export function memo<P extends object>(draw: (props: P) => VNode): FunctionComponent<P> {
  class Kept extends Component<P> {
    override shouldComponentUpdate(next: Readonly<P>): boolean {
      const before = this.props as Readonly<Record<string, unknown>>;
      return Object.entries(next).some(([name, value]) => before[name] !== value);
    }

    override render(): VNode {
      return draw(this.props);
    }
  }
  return Kept as unknown as FunctionComponent<P>;
}
