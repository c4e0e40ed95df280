import { render } from "preact";
import "./ui/tokens.css";
import { Frame } from "./frame/Frame";

const root = document.getElementById("app");
if (root) render(<Frame />, root);
