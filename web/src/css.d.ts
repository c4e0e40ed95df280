// Style sheets are bundled by the build, nothing is imported from them.
declare module "*.css";
