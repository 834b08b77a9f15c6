export function DeskPage() {
  return null;
}
