/** What the bundler makes of these imports. */
declare module '*?raw' {
  const text: string;
  export default text;
}
declare module '*.svelte' {
  import type { Component } from 'svelte';
  const component: Component<Record<string, unknown>>;
  export default component;
}
declare module '*.css';
