// A place that waits to be filled until somebody sees it.

export default {
  render({ model, el: root }) {
    begin(root, "place");
    return watch(model, root);
  },
};
