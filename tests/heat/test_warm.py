"""Compiling ahead."""

from rushlight.heat.warm import warm, warm_in_background


def test_the_kernels_can_be_compiled_in_the_background() -> None:
    """The thread ends by itself, does not hold up the end of the program, and leaves kernels."""
    from rushlight.heat import kernel_box, kernel_box_burn, kernel_burn, kernel_set

    thread = warm_in_background()
    thread.join(110)
    assert not thread.is_alive()
    assert thread.daemon
    kernels = (kernel_set.march, kernel_burn.burn, kernel_box.march, kernel_box_burn.burn)
    for kernel in kernels:
        assert getattr(kernel, "signatures", None)


def test_the_first_question_does_not_wait_for_the_boxes() -> None:
    """The round kernels are there when `warm` returns; the others follow by themselves."""
    follows = warm()
    assert follows.daemon
    follows.join(110)
    assert not follows.is_alive()
