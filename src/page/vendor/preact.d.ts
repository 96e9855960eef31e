// The types of what the page uses of preact.js (preact, its hooks, htm).
export type Child = unknown;
export function html(strings: TemplateStringsArray, ...values: unknown[]): any;
export function render(node: unknown, parent: Element): void;
export function useState<T>(initial: T | (() => T)): [T, (next: T | ((old: T) => T)) => void];
export function useEffect(effect: () => void | (() => void), inputs?: unknown[]): void;
export function useLayoutEffect(effect: () => void | (() => void), inputs?: unknown[]): void;
export function useRef<T>(initial: T): { current: T };
export function useMemo<T>(make: () => T, inputs: unknown[]): T;
export function createContext<T>(initial: T): { Provider: any };
export function useContext<T>(context: { Provider: any }): any;
export function useErrorBoundary(): [unknown, () => void];
